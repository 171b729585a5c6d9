//! From `circuit.toml` to a [`Circuit`].
//!
//! Everything wrong with the file comes back at once, each complaint at its bytes. What
//! can be read but not analysed is no business of the reader: [`crate::validate`] judges
//! the circuit, and [`Places`] lets its verdicts point into the file.

mod amplifier;
mod frame;
mod part;
mod places;

pub(crate) use amplifier::PACKAGES;
pub(crate) use part::TAPERS;
pub use places::{PartPlace, Places};

use document::{Complaints, Document};

use crate::Circuit;

/// Kind and version in the format line.
pub(crate) const FORMAT: (&str, u32) = ("narrows circuit", 1);

/// A circuit, and where its parts stand in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadCircuit {
    /// The circuit.
    pub circuit: Circuit,
    /// Where things stand in the text.
    pub places: Places,
}

/// Reads a circuit file.
///
/// # Errors
/// Everything that is wrong with the text, by place.
pub fn read(name: &str, text: &str) -> Result<Circuit, Complaints> {
    read_in_place(name, text).map(|read| read.circuit)
}

/// Reads a circuit file and keeps where everything stands.
///
/// # Errors
/// Everything that is wrong with the text, by place.
pub fn read_in_place(name: &str, text: &str) -> Result<ReadCircuit, Complaints> {
    let document = Document::parse(name, text)?;
    document.read(FORMAT.0, FORMAT.1, frame::read)
}
