//! Ringing on a keyed tone.

use serde::Serialize;

/// Ringing figures, by the envelope of a tone at the pitch; `null` for a circuit that
/// oscillates, whose tone never dies.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ringing {
    /// From key-up to the last time the envelope exceeds −20 dB.
    pub tail_20db_s: Option<f64>,
    /// The same for −40 dB.
    pub tail_40db_s: Option<f64>,
    /// The −20 dB tail in dits.
    pub tail_20db_dits: Option<f64>,
    /// Greatest rise of the envelope over its settled value after key-down.
    pub overshoot_db: Option<f64>,
    /// Share of the gap between dits in which the envelope is at least 20 dB below its peak.
    pub gap_quiet_share: Option<f64>,
    /// The speed that dits are counted at.
    pub speed_wpm: f64,
    /// Offset times −40 dB tail against the least any filter with that memory needs.
    pub limit_ratio: Option<f64>,
}
