//! How much a figure of a stage moves with one of its parts.
//!
//! `S(y; x) = (x/y) ∂y/∂x`: per cent of the figure for one per cent of the part
//! ([FRANCO, ch. 3], definition).

/// Relative sensitivities of one stage to one of its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// Of the natural frequency.
    pub f0: f64,
    /// Of the quality factor.
    pub q: f64,
    /// Of the gain.
    pub gain: f64,
}

impl Sensitivity {
    /// Sensitivities in the order natural frequency, quality, gain.
    #[must_use]
    pub const fn new(f0: f64, q: f64, gain: f64) -> Self {
        Sensitivity { f0, q, gain }
    }
}
