//! Eigenvalues of a real matrix.
//!
//! Balanced by powers of two (Parlett–Reinsch), then the real Schur form by shifted QR steps,
//! both from nalgebra. Accuracy: backward stable on the balanced matrix; a defective
//! eigenvalue of multiplicity m comes out as m values within about `(ε ‖A‖)^(1/m)`, whose
//! mean is good to rounding.

use nalgebra::{DMatrix, Schur};
use num_complex::Complex64;

/// The QR iteration did not settle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotConverged;

/// All eigenvalues of `matrix`, in no particular order.
///
/// # Errors
/// [`NotConverged`] when the QR iteration does not settle, or an entry is not finite.
///
/// # Panics
/// When `matrix` is not square.
pub fn eigenvalues(matrix: &DMatrix<f64>) -> Result<Vec<Complex64>, NotConverged> {
    assert!(matrix.is_square(), "eigenvalues of a square matrix");
    if matrix.iter().any(|v| !v.is_finite()) {
        return Err(NotConverged);
    }
    if matrix.nrows() < 2 {
        return Ok(matrix.iter().map(|&v| Complex64::from(v)).collect());
    }
    let mut balanced = matrix.clone();
    nalgebra::linalg::balancing::balance_parlett_reinsch(&mut balanced);
    let most = 200 * matrix.nrows().max(1);
    let schur = Schur::try_new(balanced, f64::EPSILON, most).ok_or(NotConverged)?;
    Ok(schur
        .complex_eigenvalues()
        .iter()
        .map(|v| Complex64::new(v.re, v.im))
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: the companion matrix of (s+1)(s+1e6)(s²+2s+101) badly scaled by a similarity.
    #[test]
    fn finds_the_roots_of_a_companion_matrix() {
        let (a, b) = (1.0 + 1e6, 1e6);
        let polynomial = [101.0 * b, 101.0 * a + 2.0 * b, 101.0 + 2.0 * a + b, 2.0 + a];
        let mut m = DMatrix::zeros(4, 4);
        for i in 0..3 {
            m[(i, i + 1)] = 1.0;
        }
        for j in 0..4 {
            m[(3, j)] = -polynomial[j];
        }
        let roots = eigenvalues(&m).unwrap();
        for (re, im) in [(-1e6, 0.0), (-1.0, -10.0), (-1.0, 0.0), (-1.0, 10.0)] {
            let known = Complex64::new(re, im);
            let error = roots.iter().map(|r| (r - known).norm()).fold(1e9, f64::min);
            assert!(error < 1e-8 * known.norm(), "{known}: {roots:?}");
        }
    }
}
