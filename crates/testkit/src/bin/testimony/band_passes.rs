//! Prototypes carried to a pitch: sections, and what their cascade does to a keyed tone.

use filter::approximation::{ChebyshevEdge, bessel, butterworth, chebyshev, synchronous};
use filter::bandpass::{BandResponse, all_band_pass, peaking, resonators};
use filter::{Section, Shape};
use serde_json::{Value, json};
use testkit::awkward::Stream;
use units::{Decibels, Hertz, Seconds};

/// Pitch and full width in Hz: usual ones, a very narrow and a very wide one.
const BANDS: [(f64, f64); 5] = [
    (650.0, 180.0),
    (1000.0, 100.0),
    (700.0, 140.0),
    (600.0, 12.0),
    (450.0, 700.0),
];

/// Seed of the pitches that stand beside the centre.
const SEED: u64 = 20_650;

/// Every family that a reference library has, over the bands, orders 1 to 5.
pub(crate) fn all() -> Value {
    let mut list = Vec::new();
    let mut stream = Stream::new(SEED);
    for (centre, width) in BANDS {
        for order in 1..=5 {
            let made = [
                ("butterworth", butterworth(order)),
                ("bessel", bessel(order)),
                ("synchronous", synchronous(order)),
                ("chebyshev", chebyshev(order, 0.5, ChebyshevEdge::Ripple)),
            ];
            for (family, prototype) in made {
                let Ok(prototype) = prototype else { continue };
                let stages = resonators(&prototype, Hertz(centre), Hertz(width));
                let pitch = centre * stream.between(0.97, 1.03);
                for sections in [all_band_pass(&stages), peaking(&all_band_pass(&stages))] {
                    list.push(json!({
                        "family": family, "order": order, "centre_hz": centre, "width_hz": width,
                        "sections": sections.iter().map(section).collect::<Vec<_>>(),
                        "pitch_hz": pitch,
                        "response": response(&sections, pitch),
                    }));
                }
            }
        }
    }
    Value::Array(list)
}

/// A section with its numbers.
pub(crate) fn section(section: &Section) -> Value {
    let (shape, zero) = match section.shape {
        Shape::BandPass => ("band-pass", None),
        Shape::LowPass => ("low-pass", None),
        Shape::HighPass => ("high-pass", None),
        Shape::Notch { zero } => ("notch", Some(zero.0)),
        Shape::FirstLowPass => ("first low-pass", None),
        Shape::FirstHighPass => ("first high-pass", None),
    };
    json!({ "shape": shape, "f0_hz": section.f0.0, "q": section.q, "zero_hz": zero })
}

/// Figures of a cascade heard at a pitch.
pub(crate) fn response(sections: &[Section], pitch: f64) -> Value {
    let heard = BandResponse::new(sections, Hertz(pitch));
    let down = [0.25, 0.7, 0.95, 1.0, 1.04, 1.5, 4.0]
        .map(|ratio| json!([ratio * pitch, heard.down(Hertz(ratio * pitch)).0]));
    let tail_20db = heard.tail(Decibels(20.0)).0;
    let envelope = [0.0, 0.1, 0.5, 1.0, 1.7].map(|share| {
        json!([
            share * tail_20db,
            heard.envelope(Seconds(share * tail_20db))
        ])
    });
    json!({
        "gain_at_pitch": heard.gain_at_pitch(),
        "down_db": down,
        "edges_3db_hz": heard.edges(Decibels(10.0 * 2.0_f64.log10())).map(|edge| edge.map(|e| e.0)),
        "envelope_after_key_up": envelope,
        "tail_20db_s": tail_20db,
        "tail_40db_s": heard.tail(Decibels(40.0)).0,
        "overshoot_db": heard.overshoot().0,
    })
}
