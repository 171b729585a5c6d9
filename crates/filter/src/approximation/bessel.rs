//! Bessel: the flattest group delay at zero frequency.
//!
//! Equation: `H(s) = θ_n(0)/θ_n(s)` with the reverse Bessel polynomial
//! `θ_n(s) = Σ (2n−k)! / (2^(n−k) k! (n−k)!) sᵏ`, which has unit delay, then scaled to
//! 3.0103 dB at 1 rad/s [OAFE, ch. 16; coefficients from memory]. Range: order 1 to 10.
//! Accuracy: 1e-10 relative in the poles (the polynomial is well conditioned here).

use numeric::polynomial_roots;

use super::{ApproximationRefused, Prototype, order_within};

/// The Bessel prototype of the given order.
///
/// # Errors
/// When the order is not 1 to 10.
pub fn bessel(order: usize) -> Result<Prototype, ApproximationRefused> {
    order_within("Bessel", order, 1, 10)?;
    Ok(unit_delay(order).normalised())
}

/// The Bessel filter of unit delay, not normalised to −3 dB.
pub(crate) fn unit_delay(order: usize) -> Prototype {
    Prototype::from_all(&polynomial_roots(&reverse_bessel(order)))
}

/// Coefficients of `θ_n`, ascending, by the recurrence
/// `c_{k+1} = c_k · 2(n−k) / ((2n−k)(k+1))` from `c_0 = (2n)!/(2ⁿ n!)`.
fn reverse_bessel(order: usize) -> Vec<f64> {
    let first: f64 = (0..order).map(|k| (2 * k + 1) as f64).product();
    let mut coefficients = vec![first];
    for k in 0..order {
        let next =
            coefficients[k] * (2 * (order - k)) as f64 / (((2 * order - k) * (k + 1)) as f64);
        coefficients.push(next);
    }
    coefficients
}
