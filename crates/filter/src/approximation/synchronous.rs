//! Synchronous: identical stages, the builder's habit.
//!
//! Equation: `H(s) = 1/(1 + s√(2^(1/n) − 1))ⁿ` [the shrinkage of `n` identical
//! resonators: from memory, Terman]. Symbols: `n` number of stages. Range: 1 to 10.
//! Accuracy: rounding.

use super::{ApproximationRefused, Prototype, order_within};

/// The prototype of `order` identical poles.
///
/// # Errors
/// When the order is not 1 to 10.
pub fn synchronous(order: usize) -> Result<Prototype, ApproximationRefused> {
    order_within("synchronous", order, 1, 10)?;
    let shrinkage = (2.0_f64.powf(1.0 / order as f64) - 1.0).sqrt();
    Ok(Prototype::new(vec![], vec![-1.0 / shrinkage; order]))
}
