//! Butterworth: the flattest top an all-pole filter of its order can have.
//!
//! Equation: `|H|² = 1/(1 + ω²ⁿ)`, so the poles stand at
//! `p_k = exp(jπ(2k + n − 1)/(2n))`, `k = 1…n` [OAFE, ch. 16; from memory].
//! Symbols: `n` order. Range: 1 to 10. Accuracy: rounding. −3.0103 dB at 1 rad/s by
//! construction.

use num_complex::Complex64;

use super::{ApproximationRefused, Prototype, order_within};

/// The Butterworth prototype of the given order.
///
/// # Errors
/// When the order is not 1 to 10.
pub fn butterworth(order: usize) -> Result<Prototype, ApproximationRefused> {
    order_within("Butterworth", order, 1, 10)?;
    let n = order as f64;
    let pairs = (1..=order / 2)
        .map(|k| {
            let angle = std::f64::consts::PI * (2.0 * k as f64 + n - 1.0) / (2.0 * n);
            Complex64::from_polar(1.0, angle)
        })
        .collect();
    let real = if order % 2 == 1 { vec![-1.0] } else { vec![] };
    Ok(Prototype::new(pairs, real))
}
