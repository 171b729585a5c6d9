//! What is left of a tone after key-up, from samples of the response alone.
//!
//! A settled tone `e^{jω₀t}` cut at `t = 0` leaves `z(t) = ∫ₜ^∞ h(τ) e^{jω₀(t − τ)} dτ`. Put
//! `h = (1/2π)∫ H e^{jωτ} dω`, do the inner integral, and with `ν = ω − ω₀`, `H₀ = H(ω₀)` the
//! envelope is, for `t > 0` and any `a > 0`,
//!
//! `z e^{−jω₀t} = H₀ e^{−at} + (j/2π) ∫ [ (H − H₀)/ν + H₀/(ν − ja) ] e^{jνt} dν`:
//!
//! the second term in the bracket takes away what falls as `1/ν` only, the step at `t = 0`, and
//! the first term gives it back. (Derived here; the transform pair is any table's.) One inverse
//! FFT gives all times. The bracket is faded out between [`FADE`] of the highest frequency and that
//! frequency, so that cutting it off leaves nothing after the first instants.
//!
//! A circuit that oscillates has a transform that begins before `t = 0`, and one that rings on
//! beyond the window comes round into the same place: what is found there tells both.

use super::grid::{Grid, THROUGH, lagrange};
use crate::poles::Root;
use num_complex::Complex64;
use numeric::Fourier;
use std::f64::consts::TAU;

/// Highest frequency as a multiple of the pitch.
const REACH: f64 = 8.0;

/// Share of the highest frequency from which the bracket is faded out.
const FADE: f64 = 0.5;

/// Decay of the part that is taken away and given back, as a multiple of the slowest pole's.
const STEP_DECAY: f64 = 2.0;

/// The window in decays of the slowest pole: enough for 40 dB in a quarter of it.
const DECAYS: f64 = 26.0;

/// Amplitude before key-up, over the settled one, above which nothing is believed.
const FOREBODING: f64 = 0.03;

/// Most points of the transform.
const MOST_POINTS: usize = 1 << 14;

/// Where the envelope after key-up is evaluated, and how.
pub(super) struct KeyUp {
    fourier: Fourier,
    /// Spacing of the times, s.
    time_step: f64,
    /// For every point of the transform: what makes the response there.
    points: Vec<Point>,
    /// For every time: what the transform is multiplied by, and the step that is given back.
    moments: Vec<(Complex64, f64)>,
}

/// One frequency of the transform.
struct Point {
    /// What `H/H₀ − 1` counts in the bracket: the fade over `ν = ω − ω₀`.
    slope: f64,
    /// The step that is taken away, faded.
    step: Complex64,
    /// First sample and weights; those of the mirror image for a negative frequency.
    first: usize,
    weights: [f64; THROUGH],
    mirrored: bool,
}

impl KeyUp {
    /// For variants of a circuit with these poles, a tone of `pitch_hz`, and samples on `grid`.
    pub(super) fn new(grid: &Grid, poles: &[Root], pitch_hz: f64) -> Self {
        let omega = TAU * pitch_hz;
        let near = |p: &&Root| p.f_hz > 0.2 * pitch_hz && p.f_hz < 5.0 * pitch_hz;
        let slowest = poles
            .iter()
            .filter(near)
            .map(|p| p.re_rad_s.abs())
            .fold(omega, f64::min)
            .max(omega * 1e-3);
        let highest = (REACH * omega).min(TAU * 20_000.0);
        let spacing = TAU * slowest / DECAYS;
        let count = ((2.0 * highest / spacing).ceil() as usize)
            .next_power_of_two()
            .min(MOST_POINTS);
        let spacing = 2.0 * highest / count as f64;
        let decay = STEP_DECAY * slowest;
        KeyUp {
            fourier: Fourier::new(count),
            time_step: TAU / (spacing * count as f64),
            points: (0..count)
                .map(|k| Point::new(grid, offset(k, count, spacing), omega, (highest, decay)))
                .collect(),
            moments: (0..count)
                .map(|k| moment(k, count, spacing, decay))
                .collect(),
        }
    }

    /// Last time at which the envelope, over its settled value, is at `level`, s.
    pub(super) fn last_above(
        &self,
        level: f64,
        samples: &[Complex64],
        settled: Complex64,
    ) -> Option<f64> {
        let envelope = self.envelope(samples, settled)?;
        let rung = envelope.len() * 3 / 4;
        let square = level * level;
        let last = (0..rung)
            .rev()
            .find(|&k| envelope[k].norm_sqr() >= square)?;
        if last + 1 == rung {
            return None;
        }
        let excess = |t: f64| cubic(&envelope, t).norm() - level;
        let (mut inside, mut outside) = (last as f64, last as f64 + 1.0);
        for _ in 0..30 {
            let middle = 0.5 * (inside + outside);
            if excess(middle) >= 0.0 {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        Some(0.5 * (inside + outside) * self.time_step)
    }

    /// The envelope over its settled value from key-up on; `None` where it is not to be believed.
    fn envelope(&self, samples: &[Complex64], settled: Complex64) -> Option<Vec<Complex64>> {
        if settled.norm() < 1e-12 {
            return None;
        }
        let over_settled = settled.inv();
        // At the pitch itself (H − H₀)/ν is the slope, which half a spacing avoids.
        let bracket = |point: &Point| {
            let here = point.response(samples) * over_settled;
            (here - 1.0) * point.slope + point.step
        };
        let mut envelope: Vec<Complex64> = self.points.iter().map(bracket).collect();
        self.fourier.inverse(&mut envelope);
        for (value, (factor, step)) in envelope.iter_mut().zip(&self.moments) {
            *value = *value * factor + step;
        }
        let count = envelope.len();
        let before = &envelope[count * 7 / 8..count - count / 64];
        let foreboding = before.iter().map(Complex64::norm_sqr).fold(0.0, f64::max);
        (foreboding < FOREBODING * FOREBODING).then_some(envelope)
    }
}

impl Point {
    fn new(grid: &Grid, nu: f64, omega: f64, (highest, decay): (f64, f64)) -> Self {
        let f_hz = (omega + nu) / TAU;
        let lowest = grid.f_hz()[0];
        let top = grid.f_hz()[grid.f_hz().len() - 1];
        let (first, weights) = grid.weights(f_hz.abs().clamp(lowest, top));
        let faded = (nu.abs() / highest - FADE).max(0.0) / (1.0 - FADE);
        let fade = (0.25 * TAU * faded).cos().powi(2);
        Point {
            slope: fade / nu,
            step: Complex64::new(nu, -decay).inv() * fade,
            first,
            weights,
            mirrored: f_hz < 0.0,
        }
    }

    fn response(&self, samples: &[Complex64]) -> Complex64 {
        let near = &samples[self.first..self.first + THROUGH];
        let value: Complex64 = near.iter().zip(self.weights).map(|(h, w)| h * w).sum();
        if self.mirrored { value.conj() } else { value }
    }
}

/// Frequency number `k` of a transform, half a spacing beside its multiple: first those above the
/// tone, then those below.
fn offset(k: usize, count: usize, spacing: f64) -> f64 {
    let turned = if 2 * k < count {
        k as f64
    } else {
        k as f64 - count as f64
    };
    (turned + 0.5) * spacing
}

/// For time number `k`: what the transform there is multiplied by, and the step that is given back.
fn moment(k: usize, count: usize, spacing: f64, decay: f64) -> (Complex64, f64) {
    // ∫ dν/2π is the sum times spacing/2π, and the inverse divides by the count.
    let scale = Complex64::I * (spacing * count as f64 / TAU);
    let turned = if 8 * k < 7 * count {
        k as f64
    } else {
        k as f64 - count as f64
    };
    let t = turned * TAU / (spacing * count as f64);
    let step = if t >= 0.0 { (-decay * t).exp() } else { 0.0 };
    // The frequencies lie half a spacing beside the multiples of it.
    (scale * Complex64::cis(0.5 * spacing * t), step)
}

/// The envelope between samples: the cubic through the four nearest.
fn cubic(envelope: &[Complex64], t: f64) -> Complex64 {
    let first = (t.floor() as usize)
        .saturating_sub(1)
        .min(envelope.len() - 4);
    let weights = lagrange([0.0, 1.0, 2.0, 3.0], t - first as f64);
    let near = envelope[first..first + 4].iter();
    near.zip(weights).map(|(z, w)| z * w).sum()
}
