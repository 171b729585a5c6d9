//! The best values that can be bought for one stage, and the proof that none are better.
//!
//! A [`Shelf`] holds the values of the series inside the builder's range, an [`Aim`] says
//! what the stage is to do and how each error counts, [`search`] looks at every
//! combination that could be better than the best so far — and at no other. Of a [`Stock`] the shelf
//! knows what is at hand and what would have to be bought. Where the parts act
//! through ratios and products alone, [`search_loop`] takes them pair by pair. Where one part in a place
//! is not near enough, [`doubling`] says what two would bring and [`paying`] whether they are worth it;
//! [`fewest`] and [`shared_values`] say what it costs to make a stage or a chain of few different values.

mod aim;
mod compound;
mod descent;
mod doubling;
mod fewest;
mod found;
mod free_loop;
mod pairs;
mod scope;
mod search;
mod shared;
mod shelf;
mod stock;
mod taste;

#[cfg(test)]
mod tests;

pub use aim::{Aim, Measure, Weights};
pub use compound::{Compound, Joint};
pub use doubling::{Doubled, Extent, PAYS, Pairs, Step, doubling, hidden, may_pay, paying};
pub use fewest::{Fewest, different, fewest};
pub use found::{Found, Proof};
pub use free_loop::{FreeLoop, search_loop};
pub use search::{Task, search, search_within};
pub use shared::{Shared, SharedValues, shared_values};
pub use shelf::Shelf;
pub(crate) use shelf::alike;
pub use stock::{BOUGHT, METER, Pile, Stock};
pub use taste::Taste;
