//! What a user can do, one file each: request in, outcome with findings out.
//!
//! A use-case takes the text of the user's files and returns values; it reads no file,
//! asks no clock and prints nothing. What is wrong with the text is a [`Refusal`]; what
//! is wrong with the *circuit* is a [`Finding`] inside the outcome.

mod bench;
mod bypass;
pub mod check;
mod driver;
mod examine;
mod finding;
mod findings;
pub mod plan;
mod planning;
mod provision;
mod refusal;
pub mod report;
pub mod retune;
mod retuning;
pub mod sheet;
mod slack;
pub mod spread;
mod spreading;
pub mod stock;
mod stocktaking;
mod wishes;

pub use document::{Complaint, Complaints};
pub use finding::{Finding, Severity};
pub use provision::{FromDrawer, ToBuy};
pub use refusal::Refusal;
pub use wishes::Wishes;
