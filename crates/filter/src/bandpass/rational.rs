//! A ratio of polynomials by its roots, with gain 1 at one tone.
//!
//! `H(s) = Π(s − z)/Π(s − p)` divided by its value at the tone `jω`. Both a low-pass
//! equivalent (tone 0, time in any unit) and a true band-pass (tone at the pitch) are
//! of this kind, so everything about rejection and tail is written once.

use num_complex::Complex64;

use super::KeyedTone;

/// Poles, zeros and the tone it is listened to with, rad per unit of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Rational {
    poles: Vec<Complex64>,
    zeros: Vec<Complex64>,
    tone: f64,
    /// `ln|Π(jω − p)| − ln|Π(jω − z)|` at the tone.
    tone_level: f64,
}

impl Rational {
    /// From every pole and zero (conjugates included) and the tone.
    ///
    /// Poles must be in the left half plane, zeros at most as many, none at the tone.
    #[must_use]
    pub fn new(poles: Vec<Complex64>, zeros: Vec<Complex64>, tone: f64) -> Self {
        assert!(
            zeros.len() <= poles.len(),
            "{} zeros over {} poles",
            zeros.len(),
            poles.len()
        );
        let s = Complex64::new(0.0, tone);
        let tone_level = -raw_level(&poles, &zeros, s);
        Self {
            poles,
            zeros,
            tone,
            tone_level,
        }
    }

    /// Every pole.
    #[must_use]
    pub fn poles(&self) -> &[Complex64] {
        &self.poles
    }

    /// Every zero.
    #[must_use]
    pub fn zeros(&self) -> &[Complex64] {
        &self.zeros
    }

    /// The tone, rad per unit of time.
    #[must_use]
    pub fn tone(&self) -> f64 {
        self.tone
    }

    /// `ln|H(jω)/H(tone)|`; negative infinity at a zero on the axis.
    #[must_use]
    pub fn level(&self, omega: f64) -> f64 {
        raw_level(&self.poles, &self.zeros, Complex64::new(0.0, omega)) + self.tone_level
    }

    /// Attenuation at `omega` against the tone, dB.
    #[must_use]
    pub fn down_db(&self, omega: f64) -> f64 {
        -20.0 / std::f64::consts::LN_10 * self.level(omega)
    }

    /// The tone after the key goes up.
    #[must_use]
    pub fn keyed(&self) -> KeyedTone {
        KeyedTone::new(&self.poles, &self.zeros, self.tone)
    }
}

fn raw_level(poles: &[Complex64], zeros: &[Complex64], s: Complex64) -> f64 {
    // Eight factors of ordinary size cannot leave the range of an f64.
    let product = |roots: &[Complex64]| -> f64 {
        roots
            .chunks(8)
            .map(|eight| {
                eight
                    .iter()
                    .map(|r| (s - r).norm_sqr())
                    .product::<f64>()
                    .ln()
            })
            .sum()
    };
    0.5 * (product(zeros) - product(poles))
}
