//! The circuit in time: `ẋ = A x + B u`, one state for each finite pole.
//!
//! [`StateSpace::reduce`] takes the rank-one dynamic terms of the equations, drops what is
//! infinitely fast (loops of capacitors, textbook amplifiers) and keeps the rest exactly.
//! [`Ringdown`] steps it after a tone is cut.

mod deflation;
mod reduce;
mod ringdown;
mod ripple;

pub use reduce::StateSpace;
pub use ringdown::Ringdown;
pub use ripple::Ripple;
