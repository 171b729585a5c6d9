//! The schematic of any circuit: signal from left to right, supply in a group of its own.
//!
//! A netlist is read for what its nets are for, its amplifiers are put in the order the
//! signal meets them, and the way of the signal becomes a straight line: series parts on
//! it, parts to a rail hanging from it, feedback bridging over it. Nothing needs to know
//! a topology by name, so a hand-written circuit is drawn as carefully as a planned one.

mod amplifier;
mod attach;
mod canvas;
mod captions;
mod columns;
mod draw;
mod glyphs;
mod heights;
mod labels;
mod loose;
mod order;
mod pen;
mod plan;
mod reading;
mod row;
mod rows;
mod sides;
mod spine;
mod supply;
mod supply_kinds;
mod symbols;

pub use canvas::{PlacedLabel, PlacedPin};
pub use draw::{Schematic, SchematicStyle, schematic};
pub(crate) use supply_kinds::supply_kinds;
pub use symbols::Symbols;
