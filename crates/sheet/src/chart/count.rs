//! What the chart of builds counted by a frequency shows.

use units::Hertz;

/// How many builds have their centre where.
#[derive(Debug, Clone, PartialEq)]
pub struct CountChart {
    /// Where the first cell begins and the last one ends.
    pub range: (Hertz, Hertz),
    /// Builds in each of the equal cells.
    pub builds: Vec<u64>,
    /// 5 % of the builds lie below the first, 5 % above the second.
    pub nine_in_ten: Option<(Hertz, Hertz)>,
    /// The pitch, marked where it is shown.
    pub pitch: Option<Hertz>,
}
