//! What a part does in a circuit, as far as its make and value matter.

/// What a part does in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Its value sets the pitch or the width.
    FrequencySetting,
    /// It passes the signal on and keeps DC back.
    Coupling,
    /// It keeps a supply or bias node still.
    Decoupling,
}

impl Place {
    /// In a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Place::FrequencySetting => "a frequency-setting place",
            Place::Coupling => "a coupling place",
            Place::Decoupling => "a decoupling place",
        }
    }
}

/// How fit something is for a place, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fitness {
    /// What one would take.
    Good,
    /// It will do.
    Fair,
    /// It spoils the circuit.
    Unfit,
}
