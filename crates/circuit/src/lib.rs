//! A netlist of real parts, and everything that can be computed from it.

pub mod dc;
mod islands;
mod netlist;
mod network;

pub use netlist::{Circuit, Diode, Element, NodeId, Opamp, Part, Pot, Supply, Switch, Taper};
