//! How well one circuit serves a need.

use crate::examine::Gist;
use crate::slack;
use circuit::{Circuit, Element};
use filter::Need;
use serde::Serialize;
use units::{Hertz, Quantity, Seconds};

/// Shortfall of a tone that never dies.
const NEVER: f64 = 100.0;

/// What a design is ranked by.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// Whether every wish is met.
    pub meets: bool,
    /// The wishes that are not, in words.
    pub misses: Vec<String>,
    /// The same, each with how much is missing: `width by 32 Hz`.
    pub missing: Vec<String>,
    /// Sum of the relative shortfalls; 0 when every wish is met.
    pub shortfall: f64,
    /// Tail to 20 dB down.
    pub tail_20db_s: Option<f64>,
    /// The same in dits.
    pub tail_20db_dits: Option<f64>,
    /// Tail to 40 dB down.
    pub tail_40db_s: Option<f64>,
    /// Least attenuation beyond what a neighbour was wanted down; `null` without neighbours.
    pub neighbour_margin_db: Option<f64>,
    /// Full width 6 dB down.
    pub width_6db_hz: Option<f64>,
    /// Octaves by which the width exceeds the wish; 0 where it does not.
    pub width_excess_octaves: f64,
    /// Parts to solder, each package of op-amps once.
    pub parts: usize,
    /// Different values among resistors and capacitors.
    pub distinct_values: usize,
    /// How far the circuit clips above what it must pass clean: the strongest signal at the
    /// neighbours, and at the pitch twice the comfortable signal; the lesser of the two.
    pub headroom_db: Option<f64>,
    /// Distance of the circuit's own noise from the comfortable signal.
    pub signal_over_hiss_db: f64,
}

impl Score {
    /// Scores the circuit of one design.
    #[must_use]
    pub(crate) fn of(need: &Need, circuit: &Circuit, gist: &Gist) -> Self {
        let (mut misses, mut missing) = (Vec::new(), Vec::new());
        let mut shortfall = 0.0;
        let mut miss = |by: f64, wish: String, much: String| {
            shortfall += by;
            missing.push(format!("{wish} by {much}"));
            misses.push(wish);
        };
        let decibels = |db: f64| format!("{db:.1} dB");
        let wanted = need.listening.width.si();
        let width = gist.response.width_6db_hz;
        let narrow = 1.0 - width.unwrap_or(0.0) / wanted;
        if narrow > slack::WIDTH {
            let short = Hertz(wanted - width.unwrap_or(0.0));
            miss(narrow, "width".to_owned(), format!("{short:.2}"));
        }
        let tail = gist.ringing.tail_20db_s.unwrap_or(f64::INFINITY);
        let long = (tail / need.listening.tail.si() - 1.0).min(NEVER);
        if long > slack::TAIL {
            let late = tail - need.listening.tail.si();
            let much = if late.is_finite() {
                format!("{:.2}", Seconds(late))
            } else {
                "a tone that never dies".to_owned()
            };
            miss(long, "tail".to_owned(), much);
        }
        let margins: Vec<f64> = gist
            .neighbours
            .iter()
            .filter_map(|n| n.wanted_db.map(|w| n.down_db - w))
            .collect();
        for (n, margin) in gist.neighbours.iter().zip(&margins) {
            if *margin < -slack::NEIGHBOUR_DB {
                miss(
                    -margin / n.wanted_db.unwrap_or(1.0),
                    offset_name(n.offset_hz),
                    decibels(-margin),
                );
            }
        }
        let off = gist.response.peak_db - gist.response.gain_at_pitch_db;
        if off > slack::PITCH_DB {
            miss(off / 3.0, "pitch".to_owned(), decibels(off));
        }
        let gain = (gist.response.gain_at_pitch_db - need.levels.gain.si()).abs();
        if gain > slack::GAIN_DB {
            miss(gain / 20.0, "gain".to_owned(), decibels(gain));
        }
        let headroom = headroom_db(need, gist);
        if headroom.is_some_and(|h| h < -slack::HEADROOM_DB) {
            let short = -headroom.unwrap_or(0.0);
            miss(short / 20.0, "headroom".to_owned(), decibels(short));
        }
        Score {
            meets: misses.is_empty(),
            misses,
            missing,
            shortfall,
            tail_20db_s: gist.ringing.tail_20db_s,
            tail_20db_dits: gist.ringing.tail_20db_dits,
            tail_40db_s: gist.ringing.tail_40db_s,
            neighbour_margin_db: margins.into_iter().reduce(f64::min),
            width_6db_hz: width,
            width_excess_octaves: width.map_or(0.0, |w| (w / wanted).log2().max(0.0)),
            parts: parts_to_solder(circuit),
            distinct_values: distinct_values(circuit),
            headroom_db: headroom,
            signal_over_hiss_db: signal_over_hiss_db(need, gist),
        }
    }
}

/// How a neighbour is called among the misses.
pub(super) fn offset_name(offset_hz: f64) -> String {
    format!("{offset_hz:+.0} Hz")
}

/// At the pitch the last amplifier may limit what is louder than twice comfortable: that
/// spares the ears. Ahead of the filter's end nothing may clip, or new tones are made.
fn headroom_db(need: &Need, gist: &Gist) -> Option<f64> {
    let peak = |rms: f64| rms * std::f64::consts::SQRT_2;
    let clip = &gist.levels.clips_at_input_v_peak;
    let beside = clip
        .at_neighbours
        .map(|v| v / peak(need.levels.strongest.si()));
    let at_pitch = clip
        .at_pitch
        .map(|v| v / peak(2.0 * need.levels.signal.si()));
    let least = [beside, at_pitch].into_iter().flatten().reduce(f64::min)?;
    Some(20.0 * least.log10())
}

fn signal_over_hiss_db(need: &Need, gist: &Gist) -> f64 {
    let gain = 10f64.powf(gist.response.gain_at_pitch_db / 20.0);
    20.0 * (need.levels.signal.si() * gain / gist.noise.output_v_rms).log10()
}

fn parts_to_solder(circuit: &Circuit) -> usize {
    let mut packages: Vec<&str> = Vec::new();
    let mut singles = 0;
    for part in &circuit.parts {
        match part.element {
            Element::Opamp(_) => packages.push(part.package().name),
            _ => singles += 1,
        }
    }
    packages.sort_unstable();
    packages.dedup();
    singles + packages.len()
}

fn distinct_values(circuit: &Circuit) -> usize {
    let mut values: Vec<u64> = circuit
        .parts
        .iter()
        .filter_map(|p| match p.element {
            Element::Resistor { value, .. } => Some(value.si().to_bits()),
            Element::Capacitor { value, .. } => Some(value.si().to_bits()),
            _ => None,
        })
        .collect();
    values.sort_unstable();
    values.dedup();
    values.len()
}
