//! Trials held to closed forms and to published tables.

#[path = "spread/chance.rs"]
mod chance;
#[path = "spread/circuits.rs"]
mod circuits;
#[path = "spread/published.rs"]
mod published;
#[path = "spread/stage.rs"]
mod stage;
