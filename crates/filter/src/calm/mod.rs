//! Calm filters: the least ringing for the rejection asked.

mod bound;
mod equivalent;
mod minimax;
mod plant;
mod search;

pub use bound::{linear_bound, memory_bound};
pub use equivalent::{Equivalent, EquivalentAim, least_product, product, stop_from};
