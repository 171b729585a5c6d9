//! Mathematics that knows no electronics.
//!
//! Each file holds one method with its source, range and accuracy: sparse elimination with
//! a fixed order ([`SparseLu`]), roots and minima of one variable, the least
//! maximum of many pieces ([`minimax`]), small positive definite systems, adaptive quadrature,
//! the matrix exponential and its dyadic chain, eigenvalues of real matrices, roots of polynomials, the normal
//! distribution, seeded numbers by stream and by place, and the one door to the Fourier transform.

mod brent_minimum;
mod brent_root;
mod cholesky;
mod counted_draws;
mod eigenvalues;
mod elimination_order;
mod exponential;
mod fourier;
mod golden_minimum;
mod kronrod;
mod minimax;
mod normal;
mod polynomial_roots;
mod sparse_lu;
mod split_mix;

pub use brent_minimum::brent_minimum;
pub use brent_root::{Bracket, NotBracketed, brent_root};
pub use cholesky::solve_positive_definite;
pub use counted_draws::CountedDraws;
pub use eigenvalues::{NotConverged, eigenvalues};
pub use elimination_order::{EliminationOrder, Singular};
pub use exponential::DyadicExponential;
pub use fourier::Fourier;
pub use golden_minimum::golden_minimum;
pub use kronrod::{Integral, integrate};
pub use minimax::{Lowest, Pieces, minimax};
pub use normal::{normal_cumulative, normal_quantile};
pub use polynomial_roots::polynomial_roots;
pub use sparse_lu::{GrowthTooLarge, SparseLu};
pub use split_mix::SplitMix;
