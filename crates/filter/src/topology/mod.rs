//! Ways to make one section of a filter with real parts.
//!
//! Each topology stands in one file that says what it is, its design equations with
//! their source, what it cannot do, its transfer function from actual values, its
//! sensitivities, and how it is wired. [`Topology`] is the one door to them.

mod board;
mod cause;
mod drift;
mod dual_amplifier_band_pass;
mod equal_sallen_key_high_pass;
mod equal_sallen_key_low_pass;
mod first_high_pass;
mod first_low_pass;
mod kind;
mod multiple_feedback_band_pass;
mod multiple_feedback_high_pass;
mod multiple_feedback_low_pass;
mod place;
mod reached;
mod recipe;
mod refusal;
mod ring_band_pass;
mod ring_notch;
mod sallen_key_band_pass;
mod sallen_key_high_pass;
mod sallen_key_low_pass;
mod sensitivity;
mod slopes;
mod state_variable;
mod twin_t_notch;
mod window;

#[cfg(test)]
mod tests;

pub use board::{Board, Odd, Ports};
pub use cause::Cause;
pub use drift::Drift;
pub use kind::Topology;
pub use place::{Design, Place, PlaceKind, Rule};
pub use reached::{Reached, unit_transfer};
pub use refusal::Refusal;
pub use sensitivity::Sensitivity;
pub(crate) use window::SLIVER;
pub use window::Window;
