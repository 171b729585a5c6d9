//! For tests: how near is near enough, awkward inputs, and slow, obvious judges.
//!
//! [`tolerance`] is the one table of tolerances, each with its reason; the oracle in Python reads
//! the same table through the testimony. [`awkward`] makes inputs that are likelier than chance to
//! break something, from fixed seeds. Nothing outside of tests may use this crate.

mod attic;
pub mod awkward;
mod board;
mod builds;
mod dense_judge;
mod mangle;
pub mod tolerance;

pub use attic::{four_stage_box, jfet_opamp};
pub use board::Board;
pub use builds::{built, decade};
pub use dense_judge::{dense_response, dense_solution};
pub use mangle::{Mangler, fuzz, fuzz_runs};
