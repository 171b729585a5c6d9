//! Frequencies at which a response must be known to be known between them.
//!
//! A response is smooth on the scale of the distance from the axis to its nearest pole. The
//! step, in `ln f`, is a share of that distance, less what the poles may move; between samples
//! the response is the polynomial through the [`THROUGH`] nearest of them. For one pole at
//! distance `d = 6.7 h` of steps `h` the remainder in the middle is
//! `Π|x − xᵢ| / Π|p − xᵢ| ≤ 7e-6` of the response (the error of interpolating `1/(x − p)`
//! [DAVIS, from memory]); four poles in one place make it about ten times that.
//! Zeros cost nothing: the response itself is interpolated, not its logarithm.

use crate::poles::Root;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Samples a value between them is taken from.
pub(super) const THROUGH: usize = 8;

/// Step as a share of the distance to the nearest pole.
const SHARE: f64 = 0.15;

/// Longest and shortest step, in ln f.
const STEP: (f64, f64) = (1e-3, 0.25);

/// The frequencies, and responses between them.
pub(super) struct Grid {
    f_hz: Vec<f64>,
    ln_f: Vec<f64>,
}

impl Grid {
    /// Frequencies from 2 Hz to 20 kHz for circuits whose poles lie within the share `reach` of
    /// these.
    pub(super) fn around(poles: &[Root], reach: f64) -> Self {
        let (from, to) = (2_f64.ln(), 20_000_f64.ln());
        let poles: Vec<Complex64> = poles.iter().map(Root::s).collect();
        let clear = |x: f64| {
            let omega = TAU * x.exp();
            let distance = |p: &Complex64| {
                // In steps of ln f, from what the pole may become.
                let away = (p.im - omega).abs() - reach * p.norm();
                let depth = p.re.abs() * (1.0 - reach);
                away.max(0.0).hypot(depth) / omega
            };
            poles.iter().map(distance).fold(f64::INFINITY, f64::min)
        };
        let mut ln_f = vec![from];
        let mut x = from;
        while x < to {
            let here = (SHARE * clear(x)).clamp(STEP.0, STEP.1);
            // The pole may be nearer to the far end of the step.
            let there = (SHARE * clear(x + here)).clamp(STEP.0, STEP.1);
            x = (x + here.min(there)).min(to);
            ln_f.push(x);
        }
        Grid {
            f_hz: ln_f.iter().map(|x| x.exp()).collect(),
            ln_f,
        }
    }

    /// Rising frequencies, Hz.
    pub(super) fn f_hz(&self) -> &[f64] {
        &self.f_hz
    }

    /// A response sampled on the grid, at a frequency between, Hz.
    pub(super) fn between(&self, samples: &[Complex64], f_hz: f64) -> Complex64 {
        let (first, weights) = self.weights(f_hz);
        let near = &samples[first..first + THROUGH];
        near.iter().zip(weights).map(|(h, w)| h * w).sum()
    }

    /// The first of the samples that a frequency is taken from, and what each counts.
    pub(super) fn weights(&self, f_hz: f64) -> (usize, [f64; THROUGH]) {
        let x = f_hz.ln();
        let above = self.ln_f.partition_point(|&g| g < x);
        let first = above
            .saturating_sub(THROUGH / 2)
            .min(self.ln_f.len() - THROUGH);
        let near = std::array::from_fn(|k| self.ln_f[first + k]);
        (first, lagrange(near, x))
    }
}

/// What each of the values at `nodes` counts in the polynomial through them, at `x` (Lagrange).
pub(super) fn lagrange<const N: usize>(nodes: [f64; N], x: f64) -> [f64; N] {
    let mut weights = [1.0; N];
    for k in 0..N {
        for m in (0..N).filter(|&m| m != k) {
            weights[k] *= (x - nodes[m]) / (nodes[k] - nodes[m]);
        }
    }
    weights
}
