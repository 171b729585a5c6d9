//! What one number of a part contributes to the matrix, so that it can be varied.

use super::Incidence;

/// `value · Π (p/p₀)^power · s^(0 or 1) · u vᵀ`: the matrix is the sum of these over a circuit.
///
/// They say the same as the rank-one terms and the effects of the parameters, in the form that
/// evaluating many variants needs: not how the matrix changes, but what it is made of.
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
