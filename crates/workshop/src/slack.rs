//! How near a wish counts as met.
//!
//! Shortfalls smaller than these are the rounding of parts, not a miss (common practice:
//! below what the parts' own tolerance moves). Ranking and findings use the same.

/// Share of a wished width.
pub(crate) const WIDTH: f64 = 0.02;
/// Share of a wished tail.
pub(crate) const TAIL: f64 = 0.02;
/// Attenuation of a neighbour, dB.
pub(crate) const NEIGHBOUR_DB: f64 = 0.25;
/// Gain at the pitch under that of the peak, dB.
pub(crate) const PITCH_DB: f64 = 1.0;
/// Headroom, dB.
pub(crate) const HEADROOM_DB: f64 = 0.5;
/// Gain at the pitch, dB: a step of 1 dB is just heard.
pub(crate) const GAIN_DB: f64 = 1.0;
