//! A single variant at a single frequency by the solver that chooses its pivots there.

use super::block::Doubtful;
use super::table::Variants;
use crate::system::System;
use num_complex::Complex64;
use numeric::SparseLu;
use std::f64::consts::TAU;

/// Both solutions, for 1 V at the source and for the unknown `seen`; `None` where the circuit
/// resonates undamped.
pub(super) struct Redone {
    pub(super) solution: Vec<Complex64>,
    pub(super) adjoint: Vec<Complex64>,
    pub(super) strengths: Vec<f64>,
}

/// Solves one variant at one frequency anew.
pub(super) fn redo(
    system: &System,
    variants: &Variants,
    f_hz: &[f64],
    doubtful: Doubtful,
    seen: Option<usize>,
) -> Option<Redone> {
    let mut ratios = vec![1.0; system.parameters().len()];
    variants.ratios(doubtful.variant, system.parameters(), &mut ratios);
    let strengths: Vec<f64> = system
        .strengths()
        .iter()
        .map(|s| s.valued(&ratios))
        .collect();
    let s = Complex64::new(0.0, TAU * f_hz[doubtful.frequency]);
    let matrix = system.matrix(strengths.iter().copied(), s);
    let (at, values): (Vec<_>, Vec<_>) = matrix.into_iter().unzip();
    let mut lu = SparseLu::analyse(system.size(), &at, &values).ok()?;
    let mut solution = vec![Complex64::ZERO; system.size()];
    solution[system.source_row()] = Complex64::ONE;
    lu.solve(&mut solution);
    let mut adjoint = vec![Complex64::ZERO; system.size()];
    if let Some(seen) = seen {
        adjoint[seen] = Complex64::ONE;
        lu.solve_transposed(&mut adjoint);
    }
    solution.iter().all(|x| x.is_finite()).then_some(Redone {
        solution,
        adjoint,
        strengths,
    })
}
