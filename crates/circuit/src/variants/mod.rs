//! Thousands of variants of one circuit, evaluated at hundreds of frequencies.
//!
//! Value search, retuning, spread and fault location all ask the same: what would this netlist
//! do with other numbers in its parts? [`Batch`] is the one door for that question. The
//! elimination of the circuit's equations is done once, on symbols (`recorder`), and written
//! down as a straight line of sums of products (`recording`); running it (`run`) does that line
//! for many variants side by side, with the widest vectors the processor has. Every answer is
//! refined once, and what that moves tells how far it was off: an answer that moves too far is
//! done again by the solver that chooses pivots anew (`redo`).
//!
//! [`Survey`] stands on it and sees every variant as a whole response; [`Gauge`] gives every variant's figures: where its peak and edges lie, how far
//! down neighbours are, how long it rings.
//!
//! Source of the refinement and of what it proves: [HIGHAM, ch. 12; from memory].

mod batch;
mod block;
mod gauge;
mod grid;
mod key_up;
mod lanes;
mod number;
mod recorder;
mod recording;
mod redo;
mod rows;
mod run;
mod slopes;
mod soldered;
mod survey;
mod table;

pub use batch::{Batch, Readings};
pub use gauge::{Gauge, Question, REACH, Reading};
pub use survey::{Passband, Sight, Survey};
pub use table::{Misfit, Variants};
