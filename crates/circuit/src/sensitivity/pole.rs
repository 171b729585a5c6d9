//! How a pole's natural frequency and Q move with every part.
//!
//! At a simple pole `A(p) x = 0`, `yᵀ A(p) = 0`, and `dp = −yᵀ dA x / (yᵀ (dA/ds) x)`. Both null
//! vectors come from inverse iteration beside the pole. With `p = −σ + jω`:
//! `d ln ω0 = Re(p̄ dp)/|p|²` and, from `Q = |p|/2σ`, `d ln Q = d ln ω0 − dσ/σ`.

use crate::figures::Study;
use crate::poles::Root;
use crate::system::Property;
use num_complex::Complex64;

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
        let nearest = self
            .poles()
            .iter()
            .map(|other| (other.s() - p).norm())
            .filter(|d| *d > 0.0)
            .fold(f64::INFINITY, f64::min);
        let alone = self
            .poles()
            .iter()
            .filter(|other| (other.s() - p).norm() == 0.0)
            .count()
            <= 1;
        if !pole.is_pair() || !alone || nearest < 1e-6 * p.norm() {
            return None;
        }
        let (x, y) = self.null_vectors(p)?;
        let system = self.system();
        let steepness: Complex64 = system
            .dynamic()
            .iter()
            .map(|t| t.u.dot(&y) * t.v.dot(&x) * t.value)
            .sum();
        let list = system.parameters().iter().map(|parameter| {
            let moved = super::gradient::derivative(parameter, p, &x, &y) / steepness;
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

    /// Right and left null vectors at the pole `p`.
    fn null_vectors(&mut self, p: Complex64) -> Option<(Vec<Complex64>, Vec<Complex64>)> {
        let solver = self.solver();
        solver.factor(p * (1.0 + 1e-10)).ok()?;
        let size = solver.system().size();
        // Any start that is not orthogonal by chance; three rounds gain ten figures each.
        let start: Vec<Complex64> = (0..size)
            .map(|k| Complex64::cis(1.0 + 2.4 * k as f64))
            .collect();
        let (mut x, mut y) = (start.clone(), start);
        for _ in 0..3 {
            solver.solve(&mut x);
            solver.solve_transposed(&mut y);
            for vector in [&mut x, &mut y] {
                let norm = vector.iter().map(|v| v.norm_sqr()).sum::<f64>().sqrt();
                if !(norm.is_finite() && norm > 0.0) {
                    return None;
                }
                vector.iter_mut().for_each(|v| *v /= norm);
            }
        }
        Some((x, y))
    }
}
