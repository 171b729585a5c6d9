//! A netlist of real parts, and everything that can be computed from it.

pub mod ac;
pub mod dc;
pub mod figures;
mod islands;
mod netlist;
mod network;
pub mod poles;
pub mod state_space;
pub mod system;
pub mod transient;

pub use netlist::{Circuit, Diode, Element, NodeId, Opamp, Part, Pot, Supply, Switch, Taper};
