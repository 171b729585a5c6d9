//! Outcomes as short aligned text for people.

mod check;
mod designs;
mod figure;
mod findings;
mod plan;

pub(crate) use check::check;
pub(crate) use plan::plan;
