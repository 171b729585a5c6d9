//! What the response chart shows.

use units::{Decibels, Hertz};

/// One response.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseCurve {
    /// What stands beside the curve.
    pub name: String,
    /// Frequency and gain, by rising frequency. Points whose gain is not finite are skipped.
    pub points: Vec<(Hertz, Decibels)>,
}

/// A neighbour that has to be kept down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// Its audio frequency (pitch plus offset).
    pub at: Hertz,
    /// How far it must be down against the gain at the pitch.
    pub down: Decibels,
}

/// Gain against frequency, with what the ear cares about marked.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseChart {
    /// The curves; the first is the design, others are overlaid.
    pub curves: Vec<ResponseCurve>,
    /// The pitch and the gain there.
    pub pitch: Option<(Hertz, Decibels)>,
    /// Frequencies of the lower and upper edge 6 dB below the gain at the pitch.
    pub width_6db: Option<(Hertz, Hertz)>,
    /// Neighbours with the rejection required.
    pub neighbours: Vec<Neighbour>,
    /// Shown frequency range.
    pub range: (Hertz, Hertz),
    /// Whether frequency is drawn logarithmically.
    pub logarithmic: bool,
}
