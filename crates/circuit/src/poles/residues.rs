//! Residues: how much of each motion there is in the response to an impulse.
//!
//! Near a simple pole `A(s)⁻¹ ≈ x yᵀ / ((s − p) yᵀ (dA/ds) x)`, so `H(s) = Σ r/(s − p)` plus what
//! answers at once, with `r = (cᵀx)(yᵀb)/(yᵀ (dA/ds) x)`. Equal stages have equal poles and no
//! such sum; time responses are stepped instead ([`crate::state_space::Ringdown`]).

use super::{Root, null_vectors};
use crate::NodeId;
use crate::ac::Solver;
use num_complex::Complex64;

/// A pole with its residue; of a pair the other has the conjugate one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// The pole.
    pub pole: Root,
    /// Its residue in the transfer, rad/s.
    pub residue: Complex64,
}

/// The residues at `output` of `poles`; `None` when two poles coincide to six figures.
pub fn residues(solver: &mut Solver<'_>, poles: &[Root], output: NodeId) -> Option<Vec<Mode>> {
    let list = poles
        .iter()
        .map(|pole| residue(solver, poles, pole, output));
    list.collect()
}

/// The residue at `output` of `pole`, one of `poles`; `None` when another coincides with it.
pub(crate) fn residue(
    solver: &mut Solver<'_>,
    poles: &[Root],
    pole: &Root,
    output: NodeId,
) -> Option<Mode> {
    let vectors = null_vectors(solver, poles, pole)?;
    let system = solver.system();
    let seen = system.voltage(output);
    let out = seen.map_or(Complex64::ZERO, |k| vectors.x[k]);
    Some(Mode {
        pole: *pole,
        residue: out * vectors.y[system.source_row()] / vectors.steepness,
    })
}

impl Mode {
    /// What this mode, with its mirror image, contributes to the transfer at `s`.
    #[must_use]
    pub fn at(&self, s: Complex64) -> Complex64 {
        let one = self.residue / (s - self.pole.s());
        if self.pole.is_pair() {
            one + self.residue.conj() / (s - self.pole.s().conj())
        } else {
            one
        }
    }
}
