//! Chebyshev: the steepest all-pole skirt for a given pass-band ripple.
//!
//! Equation: `|H|² = 1/(1 + ε² T_n²(ω))`, `ε² = 10^(r/10) − 1`; poles
//! `−sinh a sin θ ± j cosh a cos θ`, `a = asinh(1/ε)/n`, `θ = π(2k−1)/(2n)`
//! [OAFE, ch. 16; from memory]. Symbols: `r` ripple in dB, `n` order. Range: order 1 to 10, ripple
//! 0.001 to 6 dB. Accuracy: rounding. Two normalisations are in print: the ripple edge at
//! 1 rad/s, or 3.0103 dB below the gain at zero frequency at 1 rad/s; even orders
//! peak above their gain at zero frequency either way.

use num_complex::Complex64;

use super::{ApproximationRefused, Prototype, order_within};

/// What stands at 1 rad/s.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChebyshevEdge {
    /// The end of the ripple.
    Ripple,
    /// 3.0103 dB below the gain at zero frequency.
    ThreeDb,
}

/// The Chebyshev prototype of the given order and ripple.
///
/// # Errors
/// When the order is not 1 to 10 or the ripple not 0.001 to 6 dB.
pub fn chebyshev(
    order: usize,
    ripple_db: f64,
    edge: ChebyshevEdge,
) -> Result<Prototype, ApproximationRefused> {
    order_within("Chebyshev", order, 1, 10)?;
    if !(0.001..=6.0).contains(&ripple_db) {
        return Err(ApproximationRefused::Ripple { ripple_db });
    }
    let n = order as f64;
    let epsilon = (10.0_f64.powf(ripple_db / 10.0) - 1.0).sqrt();
    let a = (1.0 / epsilon).asinh() / n;
    let pairs = (1..=order / 2)
        .map(|k| {
            let theta = std::f64::consts::PI * (2.0 * k as f64 - 1.0) / (2.0 * n);
            Complex64::new(-a.sinh() * theta.sin(), a.cosh() * theta.cos())
        })
        .collect();
    let real = if order % 2 == 1 {
        vec![-a.sinh()]
    } else {
        vec![]
    };
    let at_ripple = Prototype::new(pairs, real);
    Ok(match edge {
        ChebyshevEdge::Ripple => at_ripple,
        ChebyshevEdge::ThreeDb => at_ripple.normalised(),
    })
}
