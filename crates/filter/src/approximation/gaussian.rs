//! Gaussian: the magnitude of a bell, hence no overshoot to speak of.
//!
//! Equation: `1/|H|² = Σ_{k=0}^{n} (ln 2 · ω²)ᵏ / k!`, the series of `e^(ω² ln 2)`
//! cut off at the order; with `x = s² = −ω²` its roots in `x` are taken, each left
//! half-plane square root is a pole, and the result is scaled to 3.0103 dB at
//! 1 rad/s [the truncated series: from memory, Dishal, Electrical Communication 1959]. Symbols: `n`
//! order. Range: 1 to 10. Accuracy: 1e-9 relative in the poles.

use num_complex::Complex64;
use numeric::polynomial_roots;

use super::{ApproximationRefused, Prototype, order_within};

/// The Gaussian prototype of the given order.
///
/// # Errors
/// When the order is not 1 to 10.
pub fn gaussian(order: usize) -> Result<Prototype, ApproximationRefused> {
    order_within("Gaussian", order, 1, 10)?;
    let mut series = vec![1.0];
    for k in 1..=order {
        series.push(-series[k - 1] * std::f64::consts::LN_2 / k as f64);
    }
    let poles: Vec<Complex64> = polynomial_roots(&series)
        .iter()
        .map(|x| -x.sqrt())
        .collect();
    Ok(Prototype::from_all(&poles).normalised())
}
