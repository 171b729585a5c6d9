//! How much of the gap between two dits is quiet.
//!
//! A string of dits without end: the keying `k(t)` has the period of two dits, its edges are
//! raised cosines of 5 ms centred on the nominal instants (so that mark and gap both last one
//! dit at half amplitude). Its lines are `c_n = ½ sinc(n/2) · cos(π f e)/(1 − (2 f e)²)`, `f = n/T`,
//! `e` = 5 ms: the Fourier transform of a rectangle one dit long convolved with a half cosine
//! of length `e`. The filter passes each line by itself, so the envelope behind it is
//! `y(t) = Σ c_n H(f_p + n/T) e^{j2πnt/T}`, exactly periodic. The share is the time per period in which
//! `|y|` lies 20 dB or more below its own peak, over one dit.
//!
//! Lines farther than 1500 Hz from the pitch are left out (together under 2e-5 of the mark).
//! Accuracy: 1e-4 of the gap.

use num_complex::Complex64;
use numeric::Fourier;
use std::f64::consts::PI;

/// Total length of a keyed edge, s (5 ms raised cosine, common practice).
pub const EDGE_S: f64 = 5e-3;
const SAMPLES: usize = 4096;
const FARTHEST_HZ: f64 = 1500.0;

/// Share of a one-dit gap in which the envelope behind the filter `gain` (frequency in Hz, may
/// be negative) is at least 20 dB below its own peak.
pub fn gap_quiet_share(mut gain: impl FnMut(f64) -> Complex64, pitch_hz: f64, dit_s: f64) -> f64 {
    let period = 2.0 * dit_s;
    let edge = EDGE_S.min(dit_s);
    let lines = ((FARTHEST_HZ * period) as usize).min(SAMPLES / 4);
    let mut envelope = vec![Complex64::ZERO; SAMPLES];
    envelope[0] = gain(pitch_hz) * 0.5;
    // Even lines but the middle one are zero.
    for n in (1..=lines).step_by(2) {
        let f = n as f64 / period;
        let c = keying_line(n, f * edge);
        envelope[n] = gain(pitch_hz + f) * c;
        envelope[SAMPLES - n] = gain(pitch_hz - f) * c;
    }
    Fourier::new(SAMPLES).inverse(&mut envelope);
    let power: Vec<f64> = envelope.iter().map(Complex64::norm_sqr).collect();
    let peak = power.iter().copied().fold(0.0, f64::max);
    // Two dits a period: the quiet share of the period, twice.
    (2.0 * share_below(&power, 0.01 * peak)).min(1.0)
}

/// `c_n` for odd `n`, with `x` the line's frequency times the edge's length.
fn keying_line(n: usize, x: f64) -> f64 {
    let angle = PI * n as f64 / 2.0;
    let denominator = 1.0 - 4.0 * x * x;
    let edge = if denominator.abs() < 1e-9 {
        PI / 4.0
    } else {
        (PI * x).cos() / denominator
    };
    0.5 * angle.sin() / angle * edge
}

/// Share of a period in which the samples, joined logarithmically, lie below `level`.
fn share_below(power: &[f64], level: f64) -> f64 {
    let mut below = 0.0;
    for (k, &here) in power.iter().enumerate() {
        let next = power[(k + 1) % power.len()];
        below += match (here < level, next < level) {
            (true, true) => 1.0,
            (false, false) => 0.0,
            (inside, _) => {
                let log = |p: f64| p.max(f64::MIN_POSITIVE).ln();
                let part = (log(level) - log(here)) / (log(next) - log(here));
                if inside { part } else { 1.0 - part }
            }
        };
    }
    below / power.len() as f64
}
