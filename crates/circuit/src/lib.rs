//! A netlist of real parts, and everything that can be computed from it.

pub mod ac;
pub mod dc;
pub mod figures;
mod islands;
mod netlist;
mod network;
pub mod noise;
pub mod poles;
mod read;
pub mod sensitivity;
pub mod state_space;
pub mod system;
pub mod transient;
pub mod validate;
pub mod variants;
mod write;

pub use netlist::{
    Circuit, Diode, DiodeKind, Element, NodeId, Opamp, Package, Part, Pot, Supply, Switch, Taper,
};
pub use read::{PartPlace, Places, ReadCircuit, read, read_in_place};
pub use write::write;
