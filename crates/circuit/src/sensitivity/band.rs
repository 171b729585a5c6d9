//! How the edges of a band move.
//!
//! At an edge `P(f_e, p) = level · P(f_peak, p)` with `P = |H|²`; the peak's own frequency does not
//! count to first order, so `df_e = −(d ln P_e − d ln P_peak)/(∂ ln P/∂f)`, with
//! `d ln P = 2 Re(dH/H)` and `∂ ln P/∂f = −4π Im(H′/H)`.

use super::gradient::{Gradient, gradient};
use crate::figures::Study;
use num_complex::Complex64;
use numeric::{Bracket, brent_root};
use std::f64::consts::{PI, TAU};

/// `d ln centre` and `d ln width` of every parameter, for edges `(low, high)` in Hz below a peak
/// at `peak_hz`. `None` when an edge lies on a resonance without damping.
pub(super) fn band_gradient(
    study: &mut Study<'_>,
    (low, high): (f64, f64),
    peak_hz: f64,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let output = study.circuit().output;
    let mut at = |f: f64| -> Option<Gradient> {
        gradient(study.solver(), Complex64::new(0.0, TAU * f), output).ok()
    };
    let (lower, upper) = (at(low)?, at(high)?);
    let top_hz = exact_peak(&mut at, peak_hz);
    let peak = at(top_hz)?;
    let log_power = |g: &Gradient, k: usize| 2.0 * (g.of[k] / g.value).re;
    let shift = |g: &Gradient, k: usize| {
        let steepness = -4.0 * PI * (g.slope / g.value).im;
        -(log_power(g, k) - log_power(&peak, k)) / steepness
    };
    let count = peak.of.len();
    let centre = (0..count)
        .map(|k| 0.5 * (shift(&lower, k) / low + shift(&upper, k) / high))
        .collect();
    let width = (0..count)
        .map(|k| (shift(&upper, k) - shift(&lower, k)) / (high - low))
        .collect();
    Some((centre, width))
}

/// The peak's frequency from the slope, `Im(H'/H) = 0`: the value alone gives it to half the
/// figures only.
fn exact_peak(at: &mut impl FnMut(f64) -> Option<Gradient>, peak_hz: f64) -> f64 {
    let mut slope = |f: f64| at(f).map_or(f64::NAN, |g| (g.slope / g.value).im);
    let [from, to] = [peak_hz * (1.0 - 1e-4), peak_hz * (1.0 + 1e-4)];
    let bracket = Bracket {
        a: (from, slope(from)),
        b: (to, slope(to)),
    };
    // A peak at the end of the band has no flat top; it stays where it is.
    brent_root(slope, bracket, 1e-12 * peak_hz).unwrap_or(peak_hz)
}
