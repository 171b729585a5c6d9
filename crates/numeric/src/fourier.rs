//! The one door to the fast Fourier transform.
//!
//! `X[k] = Σ x[n] e^{−j2πkn/N}` and its inverse with `1/N`; any length. The transform itself is
//! rustfft's; accuracy about `ε log₂ N` of the root mean square.

use num_complex::Complex64;
use rustfft::{Fft, FftPlanner};
use std::sync::Arc;

/// A transform of one length, both ways.
pub struct Fourier {
    forward: Arc<dyn Fft<f64>>,
    inverse: Arc<dyn Fft<f64>>,
}

impl Fourier {
    /// Plans a transform of `length` points.
    #[must_use]
    pub fn new(length: usize) -> Self {
        let mut planner = FftPlanner::new();
        Fourier {
            forward: planner.plan_fft_forward(length),
            inverse: planner.plan_fft_inverse(length),
        }
    }

    /// Spectrum of `x`, in place.
    ///
    /// # Panics
    /// When `x` does not have the planned length.
    pub fn forward(&self, x: &mut [Complex64]) {
        assert_eq!(x.len(), self.forward.len(), "the planned length");
        self.forward.process(x);
    }

    /// Samples of the spectrum `x`, in place.
    ///
    /// # Panics
    /// When `x` does not have the planned length.
    pub fn inverse(&self, x: &mut [Complex64]) {
        assert_eq!(x.len(), self.inverse.len(), "the planned length");
        self.inverse.process(x);
        let scale = 1.0 / x.len() as f64;
        for value in x {
            *value *= scale;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two routes: against the defining sum, at a length that is not a power of two; and back.
    #[test]
    fn agrees_with_the_defining_sum() {
        let n = 21;
        let x: Vec<Complex64> = (0..n)
            .map(|k| Complex64::new((k as f64).sin(), (k * k) as f64 % 5.0))
            .collect();
        let fourier = Fourier::new(n);
        let mut fast = x.clone();
        fourier.forward(&mut fast);
        for (k, value) in fast.iter().enumerate() {
            let slow: Complex64 = (0..n)
                .map(|m| {
                    let angle = -std::f64::consts::TAU * (k * m % n) as f64 / n as f64;
                    x[m] * Complex64::cis(angle)
                })
                .sum();
            assert!((value - slow).norm() < 1e-12);
        }
        fourier.inverse(&mut fast);
        assert!(fast.iter().zip(&x).all(|(a, b)| (a - b).norm() < 1e-14));
    }
}
