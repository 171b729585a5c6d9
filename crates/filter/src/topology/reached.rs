//! What a stage does with the values it has: the closed form of its transfer function.
//!
//! `H(s) = gain · N(s) / (s² + s ω0/Q + ω0²)` with the numerators of [`Shape`];
//! first-order shapes over `s + ω0`. Angular frequencies in rad/s inside, hertz at the door.

use crate::{Section, Shape};
use num_complex::Complex64;
use std::f64::consts::TAU;
use units::Hertz;

/// Natural frequency, quality, gain and null that a set of values gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// Natural angular frequency, rad/s.
    pub w0: f64,
    /// Quality factor; of a first-order stage ½ by convention, and not used.
    pub q: f64,
    /// Gain by which the unit-gain shape is multiplied; negative where the stage inverts.
    pub gain: f64,
    /// Angular frequency of the null of a notch, rad/s.
    pub wz: Option<f64>,
}

impl Reached {
    /// The section of that shape with the natural frequency, quality and null reached.
    #[must_use]
    pub fn section(&self, shape: Shape) -> Section {
        let shape = match (shape, self.wz) {
            (Shape::Notch { .. }, Some(wz)) => Shape::Notch {
                zero: Hertz(wz / TAU),
            },
            _ => shape,
        };
        Section {
            shape,
            f0: Hertz(self.w0 / TAU),
            q: self.q,
        }
    }

    /// The transfer function at `s` (rad/s), sign and gain included.
    #[must_use]
    pub fn transfer(&self, shape: Shape, s: Complex64) -> Complex64 {
        self.gain * unit_transfer(&self.section(shape), s)
    }
}

/// The unit-gain transfer function of a section at `s` (rad/s); see [`Shape`].
#[must_use]
pub fn unit_transfer(section: &Section, s: Complex64) -> Complex64 {
    let w0 = TAU * section.f0.0;
    let second = s * s + s * (w0 / section.q) + w0 * w0;
    match section.shape {
        Shape::BandPass => s * (w0 / section.q) / second,
        Shape::LowPass => w0 * w0 / second,
        Shape::HighPass => s * s / second,
        Shape::Notch { zero } => (s * s + (TAU * zero.0).powi(2)) / second,
        Shape::FirstLowPass => w0 / (s + w0),
        Shape::FirstHighPass => s / (s + w0),
    }
}
