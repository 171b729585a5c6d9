//! Calm filters: the least ringing for the rejection asked.
//!
//! A Butterworth filter is steep because it rings. Between the two lies a trade that no
//! classic family makes on purpose: given how far a neighbour must be down and how near
//! it is, which poles fall silent soonest? [`least_product`] answers for the low-pass
//! equivalent, where only `D·T` counts; [`calm_band`] answers for a real pitch, real
//! neighbours and a wished width. Searches are seeded and counted, never timed. What is
//! *found* is an upper bound; what is *proven* stands in [`memory_bound`] and
//! [`linear_bound`].

mod band;
mod bound;
mod equivalent;
mod found;
mod known;
mod plant;
mod refused;
mod search;

pub use band::{CalmBand, CalmBound, CalmTrade, CalmWish, calm_band, calm_band_near};
pub use bound::{linear_bound, memory_bound};
pub use equivalent::{Equivalent, EquivalentAim, least_product, product, stop_from};
pub use refused::CalmRefused;

pub(crate) use band::CLEAN_FALL_DB;
pub(crate) use known::Found;
