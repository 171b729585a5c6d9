//! The schematic of any circuit.

mod symbols;

pub use symbols::Symbols;
