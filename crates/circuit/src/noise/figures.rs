//! Noise at the output over the audio band, and who makes how much of it.

use super::{Owner, ROOM_K, Source, sources};
use crate::figures::{BAND_HZ, Study};

/// Over which band and how warm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// From, Hz; greater than 0.
    pub from_hz: f64,
    /// To, Hz.
    pub to_hz: f64,
    /// Temperature, K.
    pub temperature_k: f64,
}

impl Default for Band {
    /// 20 Hz to 20 kHz at 25 °C.
    fn default() -> Self {
        Band {
            from_hz: BAND_HZ.0,
            to_hz: BAND_HZ.1,
            temperature_k: ROOM_K,
        }
    }
}

/// What one owner contributes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartNoise {
    /// Who.
    pub owner: Owner,
    /// Its part of the output noise, V rms.
    pub output_v_rms: f64,
}

/// The noise figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Noise {
    /// Noise at the output in the band, V rms.
    pub output_v_rms: f64,
    /// Density at the pitch referred to the open-circuit source, V/√Hz; `None` when nothing of
    /// the pitch comes through.
    pub input_density_v_rthz: Option<f64>,
    /// By owner, greatest first.
    pub by_part: Vec<PartNoise>,
}

impl Study<'_> {
    /// The noise figures for a listener at `pitch_hz`.
    pub fn noise(&mut self, pitch_hz: f64, band: Band) -> Noise {
        let list = sources(self.circuit(), self.system(), band.temperature_k);
        let mut owners: Vec<Owner> = list.iter().map(|s| s.owner).collect();
        owners.dedup();
        let slot: Vec<usize> = list
            .iter()
            .map(|s| 1 + owners.iter().position(|o| *o == s.owner).unwrap_or(0))
            .collect();
        let breaks = self.noise_breaks(band);
        let integral = numeric::integrate(
            |x, out| {
                let f = x.exp();
                // dx = df/f
                self.add_densities(&list, &slot, f, f, out);
            },
            owners.len() + 1,
            &breaks,
            1e-6,
            6_000,
        );
        let mut by_part: Vec<PartNoise> = owners
            .iter()
            .zip(&integral.values[1..])
            .map(|(&owner, power)| PartNoise {
                owner,
                output_v_rms: power.sqrt(),
            })
            .collect();
        by_part.sort_by(|a, b| b.output_v_rms.total_cmp(&a.output_v_rms));
        let gain = self.power(pitch_hz);
        Noise {
            output_v_rms: integral.values[0].sqrt(),
            input_density_v_rthz: (gain > 1e-24)
                .then(|| (self.noise_density(pitch_hz, band.temperature_k) / gain).sqrt()),
            by_part,
        }
    }

    /// Density of the noise at the output at `f_hz`, V²/Hz.
    pub fn noise_density(&mut self, f_hz: f64, temperature_k: f64) -> f64 {
        let list = sources(self.circuit(), self.system(), temperature_k);
        let mut out = [0.0];
        self.add_densities(&list, &[], f_hz, 1.0, &mut out);
        out[0]
    }

    /// Adds `weight` times the density of all sources to `out[0]`, and of each to its slot.
    fn add_densities(
        &mut self,
        list: &[Source],
        slot: &[usize],
        f_hz: f64,
        weight: f64,
        out: &mut [f64],
    ) {
        self.factor(f_hz);
        let output = self.circuit().output;
        let way = self.solver().adjoint(output);
        for (k, source) in list.iter().enumerate() {
            let power = weight * source.u.dot(way).norm_sqr() * source.density(f_hz);
            out[0] += power;
            if let Some(&slot) = slot.get(k) {
                out[slot] += power;
            }
        }
    }

    /// Where the integration is broken up: resonances inside the band, in ln f.
    fn noise_breaks(&self, band: Band) -> Vec<f64> {
        let mut breaks = vec![band.from_hz.ln(), band.to_hz.ln()];
        let inside = |f: &f64| *f > 1.05 * band.from_hz && *f < 0.95 * band.to_hz;
        breaks.extend(
            self.poles()
                .iter()
                .filter(|p| p.q.is_some_and(|q| q > 1.0))
                .map(|p| p.f_hz)
                .filter(inside)
                .map(f64::ln),
        );
        breaks.sort_by(f64::total_cmp);
        let last = breaks[breaks.len() - 1];
        breaks.dedup_by(|a, b| *a - *b < 0.05 && *a < last);
        breaks
    }
}
