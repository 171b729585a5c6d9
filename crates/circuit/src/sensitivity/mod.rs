//! How every figure moves with every part: `d ln figure / d ln value`.
//!
//! All by adjoints, exact to rounding: one pair of solves gives the derivative of a response with
//! respect to every part at once, `dH = −λᵀ dA x`. The figures follow by the implicit
//! function theorem: an edge moves so that the response stays at its level, the tail so that
//! the envelope does. A tolerance of 1 % moves a figure by the sensitivity in percent.

mod band;
mod contour;
mod figures;
mod gradient;
mod pole;

pub use figures::{PartSensitivity, Sensitivities};
pub use pole::PoleSensitivity;
