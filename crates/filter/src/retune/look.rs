//! What is seen of one variant.

/// Figures of one variant of a circuit that has a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Geometric mean of the half-power edges, Hz.
    pub centre_hz: f64,
    /// Full width 6 dB down, Hz.
    pub width_hz: f64,
    /// Gain at the pitch that is asked for, dB.
    pub gain_db: f64,
    /// Gain at [`super::Wanted::f_hz`], dB.
    pub curve_db: Vec<f64>,
}
