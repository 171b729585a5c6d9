//! What the circuit does for an ear in hiss.
//!
//! Hiss of even density over the receiver's band arrives with the signal. `hiss_drop` compares
//! its total power behind the filter with that before it, the signal at the pitch being held
//! equally loud. `ear_gain` is the same behind an auditory filter on the pitch, which rejects
//! most of the hiss anyway: the rounded exponential `W(g) = (1 + p g) e^{−p g}`, `g = |f − f_p|/f_p`,
//! `p = 4 f_p/ERB` [PATTERSON1982; from memory], with
//! `ERB = 24.7 (4.37 f/1000 + 1)` Hz [GM1990].

use super::Study;
use crate::poles::Root;

/// Marks nearer to another than this make no panel of their own, Hz.
const NEAREST_HZ: f64 = 5.0;

/// Equivalent rectangular bandwidth of the auditory filter at `f_hz`, Hz.
#[must_use]
pub fn equivalent_rectangular_bandwidth_hz(f_hz: f64) -> f64 {
    24.7 * (4.37 * f_hz / 1000.0 + 1.0)
}

/// Power response of the auditory filter centred on `pitch_hz` at `f_hz`.
#[must_use]
pub fn auditory_weight(pitch_hz: f64, f_hz: f64) -> f64 {
    let p = 4.0 * pitch_hz / equivalent_rectangular_bandwidth_hz(pitch_hz);
    let x = p * (f_hz - pitch_hz).abs() / pitch_hz;
    (1.0 + x) * (-x).exp()
}

/// The listener's figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Listener {
    /// Fall of the total hiss at equal signal, dB.
    pub hiss_drop_db: f64,
    /// Fall of the hiss inside the ear's own filter at equal signal, dB.
    pub ear_gain_db: f64,
}

impl Study<'_> {
    /// The listener's figures at `pitch_hz` in hiss of even density from `band_hz.0` to
    /// `band_hz.1`; `None` when nothing of the pitch comes through.
    pub fn listener(&mut self, pitch_hz: f64, band_hz: (f64, f64)) -> Option<Listener> {
        let signal = self.power(pitch_hz);
        if signal < 1e-24 {
            return None;
        }
        let breaks = breaks(self.poles(), pitch_hz, band_hz);
        let integral = numeric::integrate(
            |f, out| {
                let power = self.power(f) / signal;
                let weight = auditory_weight(pitch_hz, f);
                out[0] += power;
                out[1] += weight * power;
                out[2] += weight;
            },
            3,
            &breaks,
            1e-6,
            3_000,
        );
        let drop = |before: f64, after: f64| 10.0 * (before / after).log10();
        Some(Listener {
            hiss_drop_db: drop(band_hz.1 - band_hz.0, integral.values[0]),
            ear_gain_db: drop(integral.values[2], integral.values[1]),
        })
    }
}

/// Where panels of the integral end: at the band's ends, at resonances, and about the pitch at
/// so many widths of the ear's filter that each panel alone takes its weight to 1e-9, however
/// flat the circuit: only the total steers the halving.
fn breaks(poles: &[Root], pitch_hz: f64, (low, high): (f64, f64)) -> Vec<f64> {
    let width = equivalent_rectangular_bandwidth_hz(pitch_hz);
    let around = [-6.0, -2.5, -1.0, 0.0, 1.0, 2.5, 6.0].map(|x| pitch_hz + x * width);
    let mut breaks = vec![low, high];
    for mark in around.into_iter().chain(poles.iter().map(|p| p.f_hz)) {
        let apart = breaks.iter().all(|b| (b - mark).abs() >= NEAREST_HZ);
        if apart && low < mark && mark < high {
            breaks.push(mark);
        }
    }
    breaks.sort_by(f64::total_cmp);
    breaks
}
