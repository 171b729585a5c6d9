//! The derivative of a response with respect to the logarithm of every parameter.
//!
//! From `A x = b`, `H = cᵀ x`, `Aᵀ λ = c`: `dH/d ln p = −λᵀ (dA/d ln p) x`; see
//! [`crate::system::System::derivatives`].

use crate::NodeId;
use crate::ac::Solver;
use crate::system::Unsolvable;
use num_complex::Complex64;

/// A response and its derivatives at one complex frequency.
pub(super) struct Gradient {
    /// `H(s)`.
    pub(super) value: Complex64,
    /// `dH/d ln p` of every parameter of the system.
    pub(super) of: Vec<Complex64>,
    /// `dH/ds`.
    pub(super) slope: Complex64,
}

/// The response at `output` and its derivatives at `s`.
pub(super) fn gradient(
    solver: &mut Solver<'_>,
    s: Complex64,
    output: NodeId,
) -> Result<Gradient, Unsolvable> {
    let system = solver.system();
    solver.factor(s)?;
    let (x, adjoint) = solver.both(output);
    let of = system.derivatives(system.strength_values(), s, x, adjoint);
    let slope = system
        .dynamic()
        .iter()
        .map(|t| t.u.dot(adjoint) * t.v.dot(x) * -t.value)
        .sum();
    let value = system.voltage(output).map_or(Complex64::ZERO, |k| x[k]);
    Ok(Gradient { value, of, slope })
}
