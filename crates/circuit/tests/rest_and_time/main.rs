//! The circuit at rest and in time, against hand calculation, physics and itself.

mod board;
mod dc;
mod routes;
mod transient;
