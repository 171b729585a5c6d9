//! How `plan` finds, judges and orders circuits.

mod builds;
mod candidate;
mod frontier;
mod nothing;
mod outclassed;
mod polish;
mod refused;
mod responses;
mod score;
mod spare;
mod unmet;
mod value_search;

pub(crate) use builds::Build;
pub(crate) use candidate::{Response, Tried, attempt, counted};
pub(crate) use frontier::{dominates, much_alike, order, sooner_silent};
pub(crate) use nothing::nothing;
pub(crate) use outclassed::outclassed;
pub(crate) use polish::polished;
pub use polish::{Polish, PolishedPart};
pub use refused::Refused;
pub(crate) use refused::{Dropped, Failure, WhyDropped, refused};
pub(crate) use responses::responses;
pub use score::Score;
pub use unmet::Unmet;
pub(crate) use unmet::unmet;
pub use value_search::{FewerStep, FewerValues, StageSearch, ValueSearch};
