//! Mathematics that knows no electronics.
//!
//! Each file holds one method with its source, range and accuracy: sparse elimination with
//! a fixed order ([`SparseLu`]), roots and minima of one variable, adaptive quadrature,
//! the matrix exponential and its dyadic chain, eigenvalues of real matrices, and the one
//! door to the Fourier transform.

mod brent_minimum;
mod brent_root;
mod eigenvalues;
mod exponential;
mod fourier;
mod kronrod;
mod sparse_lu;

pub use brent_minimum::brent_minimum;
pub use brent_root::{Bracket, NotBracketed, brent_root};
pub use eigenvalues::{NotConverged, eigenvalues};
pub use exponential::DyadicExponential;
pub use fourier::Fourier;
pub use kronrod::{Integral, integrate};
pub use sparse_lu::{GrowthTooLarge, Singular, SparseLu};
