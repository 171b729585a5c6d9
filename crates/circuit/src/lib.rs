//! A netlist of real parts, and everything that can be computed from it.

mod netlist;

pub use netlist::{Circuit, Diode, Element, NodeId, Opamp, Part, Pot, Supply, Switch, Taper};
