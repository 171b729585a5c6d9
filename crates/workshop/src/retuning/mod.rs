//! What `retune` is made of: which parts may change and to what, who judges, what is within
//! reach, and how an answer is told.

mod bench;
mod files;
mod notes;
mod offers;
mod parts;
mod refit;
mod refusing;
mod scaled;
mod shelf;
mod trimming;
mod worse;

pub use offers::{ErrorTold, Figures, Offer, SwapTold};
pub use trimming::{TrimReport, TrimTold};

pub(crate) use bench::Bench;
pub(crate) use files::changed;
pub(crate) use notes::{asked, stays};
pub(crate) use offers::{figures, offer, offers};
pub(crate) use parts::{Choosable, choosable, loosest};
pub(crate) use refusing::{beyond, refuse_wish};
pub(crate) use scaled::scaled;
pub(crate) use shelf::Shelves;
pub(crate) use trimming::trimmed;
