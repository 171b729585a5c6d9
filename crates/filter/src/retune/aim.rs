//! What is asked for.

/// The width wished, 6 dB down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Width {
    /// As it is, Hz: tail and neighbours stay what they are.
    Same,
    /// In proportion to the pitch: the selectivity of every resonance stays what it is.
    InProportion,
    /// This, Hz.
    Hertz(f64),
}

/// What is asked for; what is left out stays as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// New centre of the half-power band, Hz.
    pub pitch_hz: Option<f64>,
    /// Full width 6 dB down.
    pub width: Width,
    /// New gain at the centre, dB.
    pub gain_db: Option<f64>,
}
