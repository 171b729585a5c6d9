//! Poles, zeros and residues as a user reads them.

mod null_vectors;
mod residues;
mod root;

pub(crate) use null_vectors::null_vectors;
pub use residues::{Mode, residues};
pub use root::{Root, poles, zeros};
