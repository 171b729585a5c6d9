//! How a pole's natural frequency and Q move with every part.
//!
//! At a simple pole `A(p) x = 0`, `yᵀ A(p) = 0`, and `dp = −yᵀ dA x / (yᵀ (dA/ds) x)`. With `p = −σ + jω`:
//! `d ln ω0 = Re(p̄ dp)/|p|²` and, from `Q = |p|/2σ`, `d ln Q = d ln ω0 − dσ/σ`.

use crate::figures::Study;
use crate::poles::{Root, null_vectors};
use crate::system::Property;

/// `d ln f0/d ln value` and `d ln Q/d ln value` of one number of one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoleSensitivity {
    /// Index of the part.
    pub part: usize,
    /// Which of its numbers.
    pub property: Property,
    /// Of the natural frequency.
    pub f0: f64,
    /// Of the quality factor.
    pub q: f64,
}

impl Study<'_> {
    /// Sensitivities of a pole pair, one of [`Study::poles`]. `None` for a real pole, and for
    /// one that another pole coincides with: it has no derivative.
    pub fn pole_sensitivities(&mut self, pole: &Root) -> Option<Vec<PoleSensitivity>> {
        let p = pole.s();
        let poles = self.poles().to_vec();
        if !pole.is_pair() {
            return None;
        }
        let vectors = null_vectors(self.solver(), &poles, pole)?;
        let system = self.system();
        let values = system.strength_values();
        let moves = system.derivatives(values, p, &vectors.x, &vectors.y);
        let list = system
            .parameters()
            .iter()
            .zip(moves)
            .map(|(parameter, moved)| {
                let moved = moved / vectors.steepness;
                let f0 = (p.conj() * moved).re / p.norm_sqr();
                PoleSensitivity {
                    part: parameter.part,
                    property: parameter.property,
                    f0,
                    q: f0 - moved.re / p.re,
                }
            });
        Some(list.collect())
    }
}
