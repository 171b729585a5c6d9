//! The two null vectors of the equations at a simple pole: `A(p) x = 0` and `yᵀ A(p) = 0`.
//!
//! Inverse iteration one part in 10¹⁰ beside the pole, three rounds of ten figures each.

use super::Root;
use crate::ac::Solver;
use num_complex::Complex64;

/// Right and left null vectors, and `yᵀ (dA/ds) x`.
pub(crate) struct NullVectors {
    pub(crate) x: Vec<Complex64>,
    pub(crate) y: Vec<Complex64>,
    pub(crate) steepness: Complex64,
}

/// The null vectors at `pole`, one of `poles`; `None` when another lies so near that there is
/// more than one direction.
pub(crate) fn null_vectors(
    solver: &mut Solver<'_>,
    poles: &[Root],
    pole: &Root,
) -> Option<NullVectors> {
    let p = pole.s();
    let near = |other: &&Root| (other.s() - p).norm() < 1e-6 * p.norm();
    if poles.iter().filter(near).count() > 1 {
        return None;
    }
    solver.factor(p * (1.0 + 1e-10)).ok()?;
    let system = solver.system();
    // Any start that is not orthogonal by chance.
    let start: Vec<Complex64> = (0..system.size())
        .map(|k| Complex64::cis(1.0 + 2.4 * k as f64))
        .collect();
    let (mut x, mut y) = (start.clone(), start);
    for _ in 0..3 {
        solver.solve(&mut x);
        solver.solve_transposed(&mut y);
        for vector in [&mut x, &mut y] {
            let norm = vector.iter().map(Complex64::norm_sqr).sum::<f64>().sqrt();
            if !(norm.is_finite() && norm > 0.0) {
                return None;
            }
            vector.iter_mut().for_each(|v| *v /= norm);
        }
    }
    let terms = system.dynamic().iter();
    let steepness = terms.map(|t| t.u.dot(&y) * t.v.dot(&x) * t.value).sum();
    Some(NullVectors { x, y, steepness })
}
