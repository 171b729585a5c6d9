//! From a low-pass prototype to resonators, and what the resonators do.
//!
//! [`resonators`] carries any prototype to the pitch by the geometric transform;
//! [`staggered`] sets stages by hand. [`all_band_pass`] and [`peaking`] say what kind
//! of stage makes each resonator. [`BandResponse`] then gives the figures of a list
//! of sections exactly: response, edges, neighbours, tail, overshoot.
//!
//! Under it lie [`Rational`], a ratio of polynomials in factored form heard at one
//! tone, and [`KeyedTone`], the envelope of that tone after the key goes up.

mod chain;
mod form;
mod keyed_tone;
mod rational;
mod response;
mod staggered;
mod transform;

pub use form::{all_band_pass, peaking};
pub use keyed_tone::KeyedTone;
pub use rational::Rational;
pub use response::BandResponse;
pub use staggered::staggered;
pub use transform::{Resonator, resonators};
