//! The derivative of a response with respect to the logarithm of every parameter.
//!
//! From `A x = b`, `H = cᵀ x`, `Aᵀ λ = c`: `dH/d ln p = −λᵀ (dA/d ln p) x`, and each parameter's
//! `dA` is a sum of rank-one terms `factor · s^power · u vᵀ`. The adjoint network
//! [DIRECTOR1969; from memory].

use crate::NodeId;
use crate::ac::Solver;
use crate::system::{Parameter, Unsolvable};
use num_complex::Complex64;

/// `−λᵀ (dA/d ln p) x` of one parameter at `s`.
pub(super) fn derivative(
    parameter: &Parameter,
    s: Complex64,
    x: &[Complex64],
    adjoint: &[Complex64],
) -> Complex64 {
    parameter
        .effects
        .iter()
        .map(|effect| {
            let power = if effect.dynamic { s } else { Complex64::ONE };
            effect.u.dot(adjoint) * effect.v.dot(x) * power * -effect.factor
        })
        .sum()
}

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
    let of = system
        .parameters()
        .iter()
        .map(|p| derivative(p, s, x, adjoint))
        .collect();
    let slope = system
        .dynamic()
        .iter()
        .map(|t| t.u.dot(adjoint) * t.v.dot(x) * -t.value)
        .sum();
    let value = system.voltage(output).map_or(Complex64::ZERO, |k| x[k]);
    Ok(Gradient { value, of, slope })
}
