//! What the chart of a response over many builds shows.

use super::Neighbour;
use units::{Decibels, Hertz};

/// Gain at one frequency over the builds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandPoint {
    /// Frequency.
    pub at: Hertz,
    /// Of the box with the printed values.
    pub nominal: Decibels,
    /// 5 % of the builds lie below.
    pub low: Decibels,
    /// 5 % of the builds lie above.
    pub high: Decibels,
}

/// Gain against frequency: the printed values as a line, nine builds in ten as a band.
#[derive(Debug, Clone, PartialEq)]
pub struct BandChart {
    /// By rising frequency; points whose gains are not finite are skipped.
    pub points: Vec<BandPoint>,
    /// The pitch and the gain there with the printed values.
    pub pitch: Option<(Hertz, Decibels)>,
    /// Neighbours with the rejection required.
    pub neighbours: Vec<Neighbour>,
    /// Shown frequency range.
    pub range: (Hertz, Hertz),
}
