//! Motions far faster than the tone that ring on beside it: a supersonic resonance.

use std::f64::consts::PI;

/// Angular frequency over that of the tone from which a motion has fewer than [`SAMPLES`] a cycle
/// on the grid that suits the tone.
const FAST: f64 = 2.0;
/// Samples in a cycle through whose tops a parabola goes to 1e-4 of them.
const SAMPLES: f64 = 16.0;
/// Finest grid over the tone's own: 512 times as fast a ringing as the pitch is still seen.
const FINEST: f64 = 4096.0;

/// A pole pair that rings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ripple {
    /// How far it can lift the envelope at key-up, over the settled tone.
    pub amplitude: f64,
    /// How fast it dies, 1/s.
    pub decay_per_s: f64,
    /// How fast it turns, rad/s.
    pub rad_per_s: f64,
}

impl Ripple {
    /// Whether it is too fast for the grid of a tone of `omega` rad/s.
    pub(super) fn is_fast(&self, omega: f64) -> bool {
        self.rad_per_s > FAST * omega
    }

    /// How far it can lift the envelope at `t`.
    pub(super) fn at(&self, t: f64) -> f64 {
        self.amplitude * (-self.decay_per_s * t).exp()
    }

    /// The step that shows it, not under a 4096th of the `usual` one.
    pub(super) fn step(&self, usual: f64) -> f64 {
        (2.0 * PI / (SAMPLES * self.rad_per_s)).clamp(usual / FINEST, usual)
    }
}
