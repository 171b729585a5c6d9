//! The complex envelope of a keyed tone, from two simulations a quarter turn apart.
//!
//! A source `e^{jωt}` is a cosine plus j times a sine, so the output is the cosine's
//! response plus j times the sine's, and `e(t) = (y_c + j y_s) e^{−jωt}` is the envelope,
//! exact for a linear circuit. With limits acting it is the response to two tones keyed at
//! different phases, which is still what the ear gets.

use std::f64::consts::{FRAC_PI_2, TAU};

use num_complex::Complex64;
use units::{Decibels, Hertz, Seconds, Volts};

use crate::Circuit;
use crate::dc::Unsolved;

use super::drive::Drive;
use super::request::{Mode, Request};
use super::simulate::simulate;

/// A tone keyed hard: down at t = 0, up at `down`, listened to for `after` more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// Pitch.
    pub frequency: Hertz,
    /// Peak voltage of the source.
    pub peak: Volts,
    /// How long the key is down.
    pub down: Seconds,
    /// How long is listened after key-up.
    pub after: Seconds,
}

/// Samples of the envelope at the output node.
#[derive(Debug, Clone, PartialEq)]
pub struct Envelope {
    /// Time between samples; the first is at key-down.
    pub step: Seconds,
    /// When the key went up.
    pub key_up: Seconds,
    /// The envelope, V.
    pub values: Vec<Complex64>,
}

/// Simulates a keyed tone twice and forms its envelope.
///
/// # Errors
/// As [`simulate`].
pub fn keyed_envelope(
    circuit: &Circuit,
    key: &Key,
    step: Seconds,
    mode: Mode,
) -> Result<Envelope, Unsolved> {
    let request = Request::new(Seconds(key.down.0 + key.after.0), step, mode);
    let response = |phase_rad: f64| {
        let drive = Drive::Tone {
            frequency: key.frequency,
            peak: key.peak,
            phase_rad,
            until: Some(key.down),
        };
        simulate(circuit, &drive, &request).map(|trace| trace.output)
    };
    let cosine = response(0.0)?;
    let sine = response(-FRAC_PI_2)?;
    // What stands there at rest is not part of the tone.
    let rest = cosine.first().copied().unwrap_or(0.0);
    let turn = TAU * key.frequency.0 * step.0;
    let values = cosine
        .iter()
        .zip(&sine)
        .enumerate()
        .map(|(k, (c, s))| Complex64::new(c - rest, s - rest) * Complex64::cis(-turn * k as f64))
        .collect();
    Ok(Envelope {
        step,
        key_up: key.down,
        values,
    })
}

impl Envelope {
    /// Magnitude at key-up, V: the settled value, if the key was down long enough.
    #[must_use]
    pub fn settled(&self) -> f64 {
        let last = (self.key_up.0 / self.step.0 + 1e-6).floor() as usize;
        self.values.get(last).map_or(0.0, |v| v.norm())
    }

    /// Time from key-up to the last moment the magnitude exceeds the settled value less
    /// `down` (20 dB for the figure of the tail); `None` where it still does at the end.
    #[must_use]
    pub fn tail(&self, down: Decibels) -> Option<Seconds> {
        let level = self.settled() * 10_f64.powf(-down.0 / 20.0);
        let last = self.values.iter().rposition(|v| v.norm() > level)?;
        let over = self.values[last].norm();
        let under = self.values.get(last + 1)?.norm();
        // Decay is exponential, so the crossing lies on a straight line of logarithms.
        let share = (over / level).ln() / (over / under.max(f64::MIN_POSITIVE)).ln();
        Some(Seconds(self.step.0 * (last as f64 + share) - self.key_up.0))
    }

    /// Greatest rise over the settled value while the key is down, dB.
    #[must_use]
    pub fn overshoot(&self) -> Decibels {
        let last = (self.key_up.0 / self.step.0 + 1e-6).floor() as usize;
        let down = self.values.iter().take(last + 1);
        let greatest = down.fold(0.0_f64, |m, v| m.max(v.norm()));
        Decibels(20.0 * (greatest / self.settled()).log10())
    }
}
