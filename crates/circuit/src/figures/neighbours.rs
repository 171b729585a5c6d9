//! How far down a signal beside the pitch is.

use super::Study;
use super::response::decibels;

/// One signal beside the pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// Distance from the pitch, Hz, signed.
    pub offset_hz: f64,
    /// Attenuation against the gain at the pitch, dB.
    pub down_db: f64,
}

impl Study<'_> {
    /// How far down signals at these offsets from `pitch_hz` are. An offset that reaches 0 Hz or
    /// beyond counts at the frequency heard: zero beat folds over.
    pub fn neighbours(&mut self, pitch_hz: f64, offsets_hz: &[f64]) -> Vec<Neighbour> {
        let at_pitch = decibels(self.power(pitch_hz));
        offsets_hz
            .iter()
            .map(|&offset_hz| Neighbour {
                offset_hz,
                down_db: at_pitch - decibels(self.power((pitch_hz + offset_hz).abs())),
            })
            .collect()
    }
}
