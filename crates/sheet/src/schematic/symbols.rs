//! Which family of symbols a schematic is drawn with.

/// The family of schematic symbols.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Symbols {
    /// In the manner of IEC 60617: a resistor is a rectangle.
    #[default]
    Iec60617,
    /// In the manner of IEEE 315: a resistor is a zigzag.
    Ieee315,
}
