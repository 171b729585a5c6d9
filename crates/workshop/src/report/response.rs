//! Frequency response, neighbours, poles and zeros.

use serde::Serialize;

/// One point of the response.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// Frequency.
    pub f_hz: f64,
    /// Output over open-circuit source voltage.
    pub gain_db: f64,
    /// Its phase, −180 to 180.
    pub phase_deg: f64,
    /// Group delay.
    pub delay_s: f64,
}

/// Response figures; widths are full widths against the peak.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Response {
    /// Geometric mean of the −3 dB edges.
    pub centre_hz: Option<f64>,
    /// Frequency of the peak.
    pub peak_hz: f64,
    /// Gain at the peak.
    pub peak_db: f64,
    /// Gain at the pitch.
    pub gain_at_pitch_db: f64,
    /// Width 3 dB down.
    pub width_3db_hz: Option<f64>,
    /// Width 6 dB down.
    pub width_6db_hz: Option<f64>,
    /// Width 30 dB down.
    pub width_30db_hz: Option<f64>,
    /// Width 60 dB down.
    pub width_60db_hz: Option<f64>,
    /// The two edges 6 dB down.
    pub edges_6db_hz: Option<[f64; 2]>,
    /// Width 60 dB down over width 6 dB down.
    pub shape_factor: Option<f64>,
    /// Width of the rectangle that passes as much hiss at the peak gain.
    pub noise_width_hz: f64,
    /// Group delay at the pitch.
    pub delay_at_pitch_s: f64,
    /// The response, at the frequencies asked for or enough to draw it.
    pub points: Vec<Point>,
}

/// One neighbour.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Neighbour {
    /// Distance from the pitch, signed.
    pub offset_hz: f64,
    /// How far it is below the gain at the pitch.
    pub down_db: f64,
    /// How far it was wanted down, where that was said.
    pub wanted_db: Option<f64>,
}

/// A pole or a zero.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Root {
    /// Real part.
    pub re_rad_s: f64,
    /// Imaginary part.
    pub im_rad_s: f64,
    /// Distance from the origin over 2π.
    pub f_hz: f64,
    /// Quality factor of a pair; `null` for a real root.
    pub q: Option<f64>,
}
