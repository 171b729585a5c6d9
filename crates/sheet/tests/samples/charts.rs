//! Response and tail of equal resonators, in closed form, as charts.

use sheet::{
    BandChart, BandPoint, CountChart, Neighbour, ResponseChart, ResponseCurve, TailChart, TailCurve,
};
use units::{Decibels, Hertz, Seconds};

const PITCH: f64 = 650.0;

/// Gain of three equal resonators of quality 4 at the pitch, dB.
fn gain(f: f64, q: f64) -> f64 {
    let x = q * (f / PITCH - PITCH / f);
    -30.0 * (1.0 + x * x).log10()
}

fn response_curve(name: &str, q: f64) -> ResponseCurve {
    let points = (0..=400)
        .map(|i| 100.0 * 40_f64.powf(f64::from(i) / 400.0))
        .map(|f| (Hertz(f), Decibels(gain(f, q))))
        .collect();
    ResponseCurve {
        name: name.to_owned(),
        points,
    }
}

/// Envelope of three equal resonators after key-up, dB.
fn tail_curve(name: &str, q: f64) -> TailCurve {
    let tau = q / (std::f64::consts::PI * PITCH);
    let level = |t: f64| {
        let u = t / tau;
        20.0 * ((-u).exp() * (1.0 + u + u * u / 2.0)).log10()
    };
    let points = (0..=300)
        .map(|i| f64::from(i) * 1e-4)
        .map(|t| (Seconds(t), Decibels(level(t))))
        .collect();
    let after = |down: f64| {
        (0..30_000)
            .map(|i| f64::from(i) * 1e-6)
            .find(|&t| level(t) < down)
    };
    TailCurve {
        name: name.to_owned(),
        points,
        falls: after(-20.0)
            .zip(after(-40.0))
            .map(|(a, b)| (Seconds(a), Seconds(b))),
    }
}

/// A response chart with the given curves.
pub(crate) fn response(qualities: &[(&str, f64)]) -> ResponseChart {
    ResponseChart {
        curves: qualities
            .iter()
            .map(|(n, q)| response_curve(n, *q))
            .collect(),
        pitch: Some((Hertz(PITCH), Decibels(0.0))),
        width_6db: Some((Hertz(587.0), Hertz(720.0))),
        neighbours: vec![
            Neighbour {
                at: Hertz(1000.0),
                down: Decibels(30.0),
            },
            Neighbour {
                at: Hertz(300.0),
                down: Decibels(24.0),
            },
        ],
        range: (Hertz(200.0), Hertz(2000.0)),
        logarithmic: true,
    }
}

/// A tail chart with the given curves.
pub(crate) fn tail(qualities: &[(&str, f64)]) -> TailChart {
    TailChart {
        curves: qualities.iter().map(|(n, q)| tail_curve(n, *q)).collect(),
        dit: Some(Seconds(0.0545)),
        speed: "22 wpm".to_owned(),
        until: Seconds(0.030),
    }
}

/// The response of Q 4 with builds up to half again as sharp or as blunt.
pub(crate) fn band() -> BandChart {
    let point = |i: i32| {
        let f = 160.0 * 16_f64.powf(f64::from(i) / 180.0);
        BandPoint {
            at: Hertz(f),
            nominal: Decibels(gain(f, 4.0)),
            low: Decibels(gain(f, 6.0) - 1.0),
            high: Decibels(gain(f, 2.7) + 1.0),
        }
    };
    let like = response(&[]);
    BandChart {
        points: (0..=180).map(point).collect(),
        pitch: like.pitch,
        neighbours: like.neighbours,
        range: (Hertz(160.0), Hertz(2560.0)),
    }
}

/// A heap of builds about 655 Hz.
pub(crate) fn counts() -> CountChart {
    CountChart {
        range: (Hertz(600.0), Hertz(710.0)),
        builds: (0..22_u64)
            .map(|k| 400 - (k.abs_diff(11) * 18).min(200) * 2)
            .collect(),
        nine_in_ten: Some((Hertz(620.0), Hertz(690.0))),
        pitch: Some(Hertz(PITCH)),
    }
}
