//! How the figures move with one part.

use serde::Serialize;

/// Per cent of a figure for one per cent of a part's value (`d ln figure / d ln value`).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartShare {
    /// The part.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Of the gain at the pitch (as a voltage ratio).
    pub gain_at_pitch: f64,
    /// Of the centre.
    pub centre: Option<f64>,
    /// Of the width 3 dB down.
    pub width_3db: Option<f64>,
    /// Of the width 6 dB down.
    pub width_6db: Option<f64>,
    /// Of the tail to 20 dB down.
    pub tail_20db: Option<f64>,
}
