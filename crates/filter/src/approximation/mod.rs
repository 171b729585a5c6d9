//! Low-pass prototypes, one file each, all 3.0103 dB down at 1 rad/s.
//!
//! Everything here is computed from its definition when it is asked for; the
//! printed tables of the handbooks are what the tests hold it to. A prototype is
//! just its poles ([`Prototype`]); `bandpass` turns it into resonators. What each
//! family is for:
//!
//! | family | property |
//! |---|---|
//! | [`butterworth`] | flattest top for its order |
//! | [`chebyshev`] | steepest all-pole skirt for a given ripple |
//! | [`bessel`] | flattest delay at zero frequency |
//! | [`gaussian`] | no overshoot; the magnitude of a bell |
//! | [`gaussian_to`] | a bell down to 6 or 12 dB, then as steep as that allows |
//! | [`equiripple_phase`] | constant delay within a stated phase ripple |
//! | [`synchronous`] | identical stages |

mod bessel;
mod butterworth;
mod chebyshev;
mod equiripple_phase;
mod gaussian;
mod gaussian_to;
mod prototype;
mod refused;
mod synchronous;

pub use bessel::bessel;
pub use butterworth::butterworth;
pub use chebyshev::{ChebyshevEdge, chebyshev};
pub use equiripple_phase::equiripple_phase;
pub use gaussian::gaussian;
pub use gaussian_to::gaussian_to;
pub use prototype::{Factor, Prototype};
pub use refused::ApproximationRefused;
pub use synchronous::synchronous;

pub(crate) use refused::order_within;
