//! What real parts do to a design: trials, yield, worst case, shares and advice.
//!
//! A [`Lot`] says which numbers of a design differ from build to build, by which [`Law`] within
//! which tolerance, and which parts come from one bag. [`Trials`] builds it as often as asked; what
//! a build is good for is the caller's to say, by the figures that it computes and the verdict that
//! it passes on them ([`Judge`]). What was counted is a [`Tally`]: the yield with how sure it is
//! ([`wilson`]), and the spread of every figure ([`FigureSpread`]). [`Slopes`] give each part's share
//! and say where to look for the worst case ([`corners`]). A [`Treatment`] is what a builder can do about it, and costs one more run with
//! the same luck.
//!
//! For a circuit [`Builds`] makes the lot by [`Rules`], a [`Meter`] reads the figures, and [`remedies`]
//! lists what is worth trying.

mod builds;
mod corners;
mod figure_spread;
mod law;
mod lot;
mod meter;
mod remedies;
mod rules;
mod slopes;
mod stage_slopes;
mod tally;
mod treatment;
mod trials;
mod wilson;

pub use builds::Builds;
pub use corners::{Corner, Extreme, corners};
pub use figure_spread::{EXACT, FigureSpread, of_sorted};
pub use law::Law;
pub use lot::{Lot, Place};
pub use meter::{Figure, Meter};
pub use remedies::{Remedy, Tried, remedies};
pub use rules::Rules;
pub use slopes::Slopes;
pub use stage_slopes::StageSlopes;
pub use tally::{MOST_LIMITS, Tally};
pub use treatment::{Correction, Treatment};
pub use trials::{Judge, Stopped, Trials, WAVE};
pub use wilson::wilson;
