//! The best values that can be bought for one stage, and the proof that none are better.
//!
//! A [`Shelf`] holds the values of the series inside the builder's range, an [`Aim`] says
//! what the stage is to do and how each error counts, [`search`] looks at every
//! combination that could be better than the best so far — and at no other. Where the parts act
//! through ratios and products alone, [`search_loop`] takes them pair by pair.

mod aim;
mod descent;
mod found;
mod free_loop;
mod pairs;
mod scope;
mod search;
mod shelf;
mod taste;

#[cfg(test)]
mod tests;

pub use aim::{Aim, Measure, Weights};
pub use found::{Found, Proof};
pub use free_loop::{FreeLoop, search_loop};
pub use search::{Task, search};
pub use shelf::Shelf;
pub use taste::Taste;
