//! How long the circuit rings, and what that does to keying.

use super::gap::gap_quiet_share;
use super::{Neighbour, Study};
use crate::state_space::Ringdown;
use units::Wpm;

/// The ringing's figures; those that need the tone to die out are `None` when it does not, or
/// when nothing of the pitch comes through.
#[derive(Debug, Clone, PartialEq)]
pub struct Ringing {
    /// Last time after key-up at which the envelope is 20 dB down, s.
    pub tail_20db_s: Option<f64>,
    /// The same 40 dB down, s.
    pub tail_40db_s: Option<f64>,
    /// `tail_20db_s` in dits.
    pub tail_20db_dits: Option<f64>,
    /// Greatest rise of the envelope over its settled value after key-down, dB.
    pub overshoot_db: Option<f64>,
    /// Share of the one-dit gap that is at least 20 dB below the mark.
    pub gap_quiet_share: Option<f64>,
    /// The speed these hold for, words per minute.
    pub speed_wpm: f64,
    /// Offset times 40 dB tail over the least possible for the rejection reached.
    pub limit_ratio: Option<f64>,
}

/// One dit, s.
#[must_use]
pub fn dit_s(speed_wpm: f64) -> f64 {
    Wpm(speed_wpm).dit().0
}

impl Study<'_> {
    /// What a tone of `pitch_hz` leaves at the output; `None` when the circuit does not die out
    /// or nothing comes through.
    pub fn ringdown(&mut self, pitch_hz: f64) -> Option<Ringdown> {
        let settled = self.gain(pitch_hz);
        if !self.is_stable() || settled.norm() < 1e-12 {
            return None;
        }
        Ringdown::new(self.space(), self.circuit().output, pitch_hz, settled)
    }

    /// The ringing's figures for a listener at `pitch_hz` and `speed_wpm` (greater than 0);
    /// `neighbours` as from [`Study::neighbours`].
    pub fn ringing(&mut self, pitch_hz: f64, speed_wpm: f64, neighbours: &[Neighbour]) -> Ringing {
        let ringdown = self.ringdown(pitch_hz);
        let tail_20db_s = ringdown.as_ref().map(|r| r.last_above(0.1));
        let tail_40db_s = ringdown.as_ref().map(|r| r.last_above(0.01));
        let gap = ringdown
            .is_some()
            .then(|| gap_quiet_share(|f| self.gain(f), pitch_hz, dit_s(speed_wpm)));
        Ringing {
            tail_20db_s,
            tail_40db_s,
            tail_20db_dits: tail_20db_s.map(|t| t / dit_s(speed_wpm)),
            overshoot_db: ringdown.map(|r| 20.0 * r.overshoot().log10()),
            gap_quiet_share: gap,
            speed_wpm,
            limit_ratio: tail_40db_s.and_then(|t| limit_ratio(t, neighbours)),
        }
    }
}

/// Offset × tail over `acosh(10^(R/20))/π`, the least of any filter whose memory is exactly the
/// tail (the Dolph–Chebyshev window), for the neighbour whose rejection asks for the longest
/// memory.
fn limit_ratio(tail_40db_s: f64, neighbours: &[Neighbour]) -> Option<f64> {
    neighbours
        .iter()
        .filter(|n| n.down_db > 0.0 && n.offset_hz != 0.0)
        .map(|n| {
            let least = 10_f64.powf(n.down_db / 20.0).acosh() / std::f64::consts::PI;
            tail_40db_s * n.offset_hz.abs() / least
        })
        .min_by(f64::total_cmp)
}
