//! How long the circuit rings, and what that does to keying.

use super::gap::gap_quiet_share;
use super::{Neighbour, Study};
use crate::poles::residue;
use crate::state_space::{Ringdown, Ripple};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// What two pole pairs that coincide are reckoned to lift the envelope by, over the settled tone.
const COINCIDENT: f64 = 10.0;
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
        let ripples = self.ripples(pitch_hz, settled);
        let output = self.circuit().output;
        Ringdown::new(self.space(), output, pitch_hz, settled, &ripples)
    }

    /// Pole pairs that turn faster than the tone, with what they can lift its envelope by: both
    /// halves of `r/(jω − p)` over the settled phasor. Where poles coincide there are no
    /// residues, and as much as [`COINCIDENT`] is reckoned with.
    fn ripples(&mut self, pitch_hz: f64, settled: Complex64) -> Vec<Ripple> {
        let tone = Complex64::new(0.0, TAU * pitch_hz);
        let output = self.circuit().output;
        let poles = self.poles().to_vec();
        let fast = poles.iter().filter(|p| p.im_rad_s > tone.im);
        fast.map(|pole| {
            let lift = residue(self.solver(), &poles, pole, output).map(|mode| {
                let halves = 1.0 / (tone - pole.s()).norm() + 1.0 / (tone - pole.s().conj()).norm();
                mode.residue.norm() * halves / settled.norm()
            });
            Ripple {
                amplitude: lift.unwrap_or(COINCIDENT),
                decay_per_s: -pole.re_rad_s,
                rad_per_s: pole.im_rad_s,
            }
        })
        .collect()
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
