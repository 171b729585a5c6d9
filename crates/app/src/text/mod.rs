//! Outcomes as short aligned text for people.

mod check;
mod designs;
mod figure;
mod findings;
mod plan;
mod retune;
mod spread;
mod stock;

pub(crate) use check::check;
pub(crate) use plan::plan;
pub(crate) use retune::retune;
pub(crate) use spread::spread;
pub(crate) use stock::stock;
