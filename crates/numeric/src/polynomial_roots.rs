//! All roots of a real polynomial at once.
//!
//! Equation: simultaneous iteration of Aberth and Ehrlich,
//! `z_k ← z_k − N_k / (1 − N_k Σ_{j≠k} 1/(z_k − z_j))`, `N_k = p(z_k)/p'(z_k)`
//! [ABERTH, from memory]. Symbols: `p` by ascending
//! coefficients. Range: degree 1 to about 24 with simple roots. Accuracy: what the conditioning of the coefficients
//! allows, near 1e-12 relative up to degree 10. Edges: a leading coefficient of
//! zero is a programmer's slip. The loop is bounded; roots that are still moving
//! after it are returned as they stand, and the caller checks them by what they are for.

use num_complex::Complex64;

/// Most sweeps over all roots; eighteen are usual.
const MOST_SWEEPS: usize = 200;

/// Roots of `Σ coefficients[i] sⁱ`, in no particular order.
#[must_use]
pub fn polynomial_roots(coefficients: &[f64]) -> Vec<Complex64> {
    let degree = coefficients.len() - 1;
    let lead = coefficients[degree];
    assert!(lead != 0.0, "leading coefficient is {lead}");
    let radius = (coefficients[0] / lead).abs().powf(1.0 / degree as f64);
    let mut z: Vec<Complex64> = (0..degree)
        .map(|k| {
            let angle = std::f64::consts::TAU * (k as f64 + 0.35) / degree as f64;
            Complex64::from_polar(radius, angle)
        })
        .collect();
    for _ in 0..MOST_SWEEPS {
        let mut moved = 0.0_f64;
        for k in 0..degree {
            let step = aberth_step(coefficients, &z, k);
            z[k] -= step;
            moved = moved.max(step.norm() / z[k].norm().max(1e-300));
        }
        if moved < 4.0 * f64::EPSILON {
            break;
        }
    }
    z
}

fn aberth_step(coefficients: &[f64], z: &[Complex64], k: usize) -> Complex64 {
    let (value, slope) = value_and_slope(coefficients, z[k]);
    if value.norm_sqr() == 0.0 {
        return Complex64::ZERO;
    }
    let newton = value / slope;
    let crowd: Complex64 = z
        .iter()
        .enumerate()
        .filter(|&(j, _)| j != k)
        .map(|(_, &other)| (z[k] - other).inv())
        .sum();
    let step = newton / (1.0 - newton * crowd);
    if step.is_finite() {
        step
    } else {
        Complex64::ZERO
    }
}

fn value_and_slope(coefficients: &[f64], s: Complex64) -> (Complex64, Complex64) {
    let mut value = Complex64::ZERO;
    let mut slope = Complex64::ZERO;
    for &c in coefficients.iter().rev() {
        slope = slope * s + value;
        value = value * s + c;
    }
    (value, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Round trip: a polynomial multiplied out from known roots gives them back.
    #[test]
    fn roots_come_back() {
        // (s + 1)(s² + s + 1)(s² + 0.1 s + 4)
        let mut c = vec![1.0];
        for factor in [vec![1.0, 1.0], vec![1.0, 1.0, 1.0], vec![4.0, 0.1, 1.0]] {
            let mut product = vec![0.0; c.len() + factor.len() - 1];
            for (i, a) in c.iter().enumerate() {
                for (j, b) in factor.iter().enumerate() {
                    product[i + j] += a * b;
                }
            }
            c = product;
        }
        let found = polynomial_roots(&c);
        for expected in [
            Complex64::new(-1.0, 0.0),
            Complex64::new(-0.5, 0.75_f64.sqrt()),
            Complex64::new(-0.05, -(4.0_f64 - 0.0025).sqrt()),
        ] {
            let nearest = found
                .iter()
                .map(|z| (z - expected).norm())
                .fold(f64::INFINITY, f64::min);
            assert!(nearest < 1e-13, "{expected}: {nearest:e}");
        }
    }
}
