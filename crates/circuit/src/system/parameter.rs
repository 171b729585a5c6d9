//! What can be varied about a part.

/// Which number of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Property {
    /// The resistance of a resistor, or of a whole pot at its position.
    Resistance,
    /// The capacitance of a capacitor.
    Capacitance,
    /// The inductance of an inductor.
    Inductance,
    /// The resistance of an inductor's wire.
    WireResistance,
    /// An amplifier's gain-bandwidth product.
    GainBandwidth,
    /// An amplifier's gain at DC.
    DcGain,
    /// An amplifier's open-loop output resistance.
    OutputResistance,
    /// An amplifier's differential input resistance.
    InputResistance,
    /// An amplifier's differential input capacitance.
    InputCapacitance,
}

impl Property {
    /// Whether this is the value printed on the part itself, not a secondary number.
    #[must_use]
    pub fn is_value(self) -> bool {
        matches!(
            self,
            Property::Resistance | Property::Capacitance | Property::Inductance
        )
    }
}

/// One number of one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter {
    /// Index of the part in the circuit.
    pub part: usize,
    /// Which of its numbers.
    pub property: Property,
    /// The number itself, SI.
    pub value: f64,
}
