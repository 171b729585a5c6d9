//! The circuit as time sees it: `C dz/dt + G z + f(z) = b`.
//!
//! Modified nodal analysis with every large-signal limit kept. The unknowns `z` are the
//! node voltages (V), the currents of the branches that are not simply conductances (A),
//! and for every real amplifier the voltage of its compensation stage (V). The operating
//! point solves the equation at rest, the transient follows it; nothing here is linearised
//! for good, and nothing here is shared with the small-signal analyses, so that the two
//! can judge each other.
//!
//! Unknown 0 is the node `0`, kept in the arrays as a place that is always zero.

mod amplifier;
mod build;
mod diode;
mod elimination;
mod equations;
mod square;

pub(crate) use amplifier::{Amplifier, CLAMP_WIDTH, Held, OVERLOAD_FROM, SLEW_LINEAR};
pub(crate) use diode::Junction;
pub(crate) use elimination::{AT_REST, Factored, IN_A_STEP};
pub(crate) use equations::{Amplify, Network};
pub(crate) use square::Square;
