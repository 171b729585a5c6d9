//! A response sampled densely enough that nothing hides between two samples.
//!
//! Sixty points a decade over the audio band, and nine around every resonance: a pole pair
//! `f, Q` has its half-power width `f/Q`, and the points lie at 0, ±½, ±1, ±2 and ±4 half widths.

use crate::poles::Root;

/// The band over which responses are judged, Hz.
pub const BAND_HZ: (f64, f64) = (20.0, 20_000.0);

const POINTS_PER_DECADE: usize = 60;

/// Power gain over frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Rising frequencies, Hz.
    pub f_hz: Vec<f64>,
    /// `|H|²` there.
    pub power: Vec<f64>,
}

impl Curve {
    /// Frequencies worth looking at for a circuit with these poles and zeros, and `extra` ones.
    #[must_use]
    pub fn frequencies(roots: &[Root], extra: &[f64]) -> Vec<f64> {
        let (from, to) = BAND_HZ;
        let count = (POINTS_PER_DECADE as f64 * (to / from).log10()).round() as usize;
        let mut all: Vec<f64> = (0..=count)
            .map(|k| from * (to / from).powf(k as f64 / count as f64))
            .collect();
        for root in roots.iter().filter(|r| r.is_pair()) {
            let half_width = root.re_rad_s.abs() / std::f64::consts::TAU;
            let centre = root.im_rad_s / std::f64::consts::TAU;
            for x in [-4.0, -2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0, 4.0] {
                all.push(centre + x * half_width);
            }
        }
        all.extend_from_slice(extra);
        all.retain(|f| (from..=to).contains(f));
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| *a - *b < 1e-9 * *b);
        all
    }

    /// Samples `gain` there.
    pub fn sample(f_hz: Vec<f64>, mut power: impl FnMut(f64) -> f64) -> Self {
        let power = f_hz.iter().map(|&f| power(f)).collect();
        Curve { f_hz, power }
    }

    /// Frequency and power of the greatest response, refined between the samples.
    pub fn peak(&self, mut power: impl FnMut(f64) -> f64) -> (f64, f64) {
        let greatest = self.power.iter().copied().fold(0.0, f64::max);
        let mut best = (self.f_hz[0], self.power[0]);
        let last = self.f_hz.len() - 1;
        for k in 0..=last {
            let here = self.power[k];
            let local =
                (k == 0 || here >= self.power[k - 1]) && (k == last || here >= self.power[k + 1]);
            // Only a top within 1 dB of the highest sample can be the highest point.
            if !local || here < 0.8 * greatest {
                continue;
            }
            if here > best.1 {
                best = (self.f_hz[k], here);
            }
            let (from, to) = (self.f_hz[k.saturating_sub(1)], self.f_hz[(k + 1).min(last)]);
            let (at, least) = numeric::brent_minimum(|x| -power(x.exp()), from.ln(), to.ln(), 1e-9);
            if -least > best.1 {
                best = (at.exp(), -least);
            }
        }
        best
    }
}
