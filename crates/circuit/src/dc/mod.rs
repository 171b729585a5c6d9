//! Where the circuit rests: the direct voltages and currents with nothing at the input.
//!
//! The full nonlinear equations are solved: amplifiers have offset, bias current, swing,
//! common-mode range and an output current limit; diodes have their exponential. Newton's
//! method comes first; where it fails, or finds a balance that a real circuit would fall
//! out of, the supply is switched on in simulated time and the circuit is followed until
//! it rests.

mod finding;
mod newton;
mod operating_point;
mod power_up;
mod report;
mod solve;
mod stability;
mod unsolved;

pub use finding::DcFinding;
pub use operating_point::{AmplifierPoint, AmplifierState, OperatingPoint, PartPoint};
pub use solve::operating_point;
pub use unsolved::Unsolved;

pub(crate) use newton::{Flow, GaveUp, Newton};
pub(crate) use solve::rest;
