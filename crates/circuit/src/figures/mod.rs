//! The figures of a circuit that a user reads, defined once.
//!
//! [`Study`] holds a circuit's equations, its poles and one sweep; every figure is asked of it:
//! ```
//! # use circuit::{Circuit, figures::Study, system::System};
//! # fn look(circuit: &Circuit) -> Result<(), circuit::system::Unsolvable> {
//! let system = System::build(circuit)?;
//! let mut study = Study::new(circuit, &system)?;
//! let response = study.response(700.0, &[500.0, 700.0]);
//! # Ok(())
//! # }
//! ```
//! Field names end in their unit and are those of the files we print.

mod curve;
mod edges;
mod gap;
mod levels;
mod listener;
mod neighbours;
mod response;
mod ringing;
mod study;

pub use curve::{BAND_HZ, Curve};
pub use edges::{Band, band};
pub use gap::{EDGE_S, gap_quiet_share};
pub use levels::{InputLimit, Levels, StageLevel};
pub use listener::{Listener, auditory_weight, equivalent_rectangular_bandwidth_hz};
pub use neighbours::Neighbour;
pub use response::{Point, Response};
pub use ringing::{Ringing, dit_s};
pub use study::Study;
