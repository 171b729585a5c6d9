//! Charts of values that are given.

mod response;
mod tail;

pub use response::{Neighbour, ResponseChart, ResponseCurve};
pub use tail::{TailChart, TailCurve};
