//! What one number of a part contributes to the matrix, so that it can be varied.

use super::{Incidence, System};
use num_complex::Complex64;
use std::collections::BTreeMap;

/// `value · Π (p/p₀)^power · s^(0 or 1) · u vᵀ`: the matrix is the sum of these over a circuit.
///
/// They say the same as the rank-one terms, taken apart by the numbers that make them: what a
/// variant's matrix is, and what a relative change of each number does to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// Where it stands among the equations.
    pub u: Incidence,
    /// Which unknowns it sees.
    pub v: Incidence,
    /// Whether it is proportional to `s`.
    pub dynamic: bool,
    /// Its value with the parts as they are (S, F, H, or a plain number).
    pub value: f64,
    /// Indices of the parameters it follows, each with its power (1 or −1); none for a constant.
    pub powers: Vec<(usize, i32)>,
}

impl Strength {
    /// Its value when each parameter is so many times what it is in the circuit.
    #[must_use]
    pub fn valued(&self, ratios: &[f64]) -> f64 {
        self.powers.iter().fold(self.value, |value, &(k, power)| {
            if power < 0 {
                value / ratios[k]
            } else {
                value * ratios[k]
            }
        })
    }
}

impl System {
    /// `−λᵀ (dA/d ln p) x` of every parameter at `s`, with strengths of these values: how a
    /// response moves when `A x = b`, `Aᵀ λ = c`. The adjoint network [DIRECTOR1969; from memory].
    #[must_use]
    pub fn derivatives(
        &self,
        values: impl IntoIterator<Item = f64>,
        s: Complex64,
        x: &[Complex64],
        adjoint: &[Complex64],
    ) -> Vec<Complex64> {
        let mut of = vec![Complex64::ZERO; self.parameters.len()];
        for (strength, value) in self.strengths.iter().zip(values) {
            let power_of_s = if strength.dynamic { s } else { Complex64::ONE };
            let product = strength.u.dot(adjoint) * strength.v.dot(x) * power_of_s * value;
            for &(parameter, power) in &strength.powers {
                of[parameter] -= product * f64::from(power);
            }
        }
        of
    }

    /// The matrix at `s` with strengths of these values, place by place (equation, unknown).
    #[must_use]
    pub fn matrix(
        &self,
        values: impl IntoIterator<Item = f64>,
        s: Complex64,
    ) -> BTreeMap<(usize, usize), Complex64> {
        let mut places: BTreeMap<_, Complex64> = BTreeMap::new();
        for (strength, value) in self.strengths.iter().zip(values) {
            let power_of_s = if strength.dynamic { s } else { Complex64::ONE };
            for &(i, a) in strength.u.items() {
                for &(j, b) in strength.v.items() {
                    *places.entry((i, j)).or_default() += a * b * value * power_of_s;
                }
            }
        }
        places
    }

    /// The value of every strength with the parts as they are.
    pub fn strength_values(&self) -> impl Iterator<Item = f64> + '_ {
        self.strengths.iter().map(|s| s.value)
    }
}
