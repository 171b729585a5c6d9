//! The fewest parts to change so that a circuit does something else.
//!
//! A [`Place`] is a part that may change, with the values there are for it and what changing it
//! costs. A judge looks at variants of the circuit and gives each a list of residuals; the
//! *error* of a variant is their root sum of squares. [`frontier`] finds, for every price from
//! one swap up, the best swaps; [`polish`] moves values that stand already to their neighbours.
//!
//! Which parts to change is asked of the circuit with values free to vary (`subsets`): every
//! set is followed down to its least error by damped least squares (`descend`), sets grow and
//! shrink one place at a time by a linear model about the place reached (`model`), and the free
//! values are then set to those there are (`rounding`, and `mixed` where more places than that
//! take pays) and exchanged one and two at a time on measured residuals (`exchange`). One swap, and any count with few enough combinations, is
//! measured without exception, and so is proven; the rest is the best that was found.

mod archive;
mod bench;
mod choice;
mod descend;
mod exchange;
mod exhaust;
mod frontier;
mod mixed;
mod model;
mod place;
mod rounding;
mod subsets;

pub use bench::{Judge, Verdict, error};
pub use descend::best_free;
pub use exchange::polish;
pub use frontier::{Effort, frontier};
pub use model::slopes;
pub use place::{Place, Stock, Swap, Swaps};
