//! Poles, zeros and residues as a user reads them.

mod null_vectors;
mod orders;
mod residue_class;
mod residues;
mod root;
mod zeros;

pub(crate) use null_vectors::null_vectors;
pub(crate) use residues::residue;
pub use residues::{Mode, residues};
pub use root::{Root, poles};
pub use zeros::{BEYOND_MODEL_HZ, zeros};
