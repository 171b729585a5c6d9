//! The response at sine waves: the one place where a circuit is evaluated over frequencies.
//!
//! [`sweep`] is the door for whoever has a circuit and wants a table. [`Solver`] is what
//! stands behind it: one elimination order a circuit, one straight-line factorisation a
//! frequency, both ways round (the transposed solve gives every source's way to one output).

mod solver;
mod sweep;

pub use solver::Solver;
pub use sweep::{Table, sweep};
