//! An op-amp too slow for this Q.
//!
//! Checks how far the sharpest resonance would move with op-amps half as fast as typical,
//! against its half width: `|Δp|/|Re p|` of its pole, which is `2Q·Δf0/f0` for a shift and
//! `ΔQ/Q` for a change of Q. Why: the plan allows for a typical op-amp, but another sample or
//! type then moves the pitch. Do: a faster op-amp, a lower Q or another way to build the stage.
//! Source: poles of this circuit; samples differ by about two to one (common practice). For a stage of one
//! amplifier it is `Δf0/f0 ≈ −Q f0/f_t` [FRANCO §6].

use super::Evidence;
use super::sings::{poles_with, with_speed};
use crate::finding::{Finding, Severity};
use crate::report::Root;
use circuit::Element;
use units::{Hertz, Quantity};

/// Shares of the half width that the pole may move before it is told, and is wrong.
const TOLD: f64 = 0.1;
const WRONG: f64 = 0.5;

/// Slower samples, as a share of the typical speed.
const SLOWER: f64 = 0.5;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let pitch = e.wishes.pitch.si();
    let near = |p: &&Root| p.f_hz > pitch / 3.0 && p.f_hz < pitch * 3.0;
    let resonances = e.report.poles.iter().filter(near);
    let sharpest = resonances
        .filter_map(|p| p.q.map(|q| (q, p)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let (Some((q, pole)), Some(slowest)) = (sharpest, slowest(e)) else {
        return Vec::new();
    };
    let apart = |re: f64, im: f64| (re - pole.re_rad_s).hypot(im.abs() - pole.im_rad_s.abs());
    let Some(moved) = poles_with(&with_speed(e.circuit, SLOWER))
        .unwrap_or_default()
        .into_iter()
        .min_by(|a, b| apart(a.re_rad_s, a.im_rad_s).total_cmp(&apart(b.re_rad_s, b.im_rad_s)))
    else {
        return Vec::new();
    };
    let share = apart(moved.re_rad_s, moved.im_rad_s) / pole.re_rad_s.abs();
    if share < TOLD || !share.is_finite() {
        return Vec::new();
    }
    let shift = 100.0 * (moved.f_hz / pole.f_hz - 1.0).abs();
    let sharper = moved.q.map_or(0.0, |other| 100.0 * (other / q - 1.0).abs());
    vec![Finding {
        id: "slow_amplifier",
        severity: if share > WRONG {
            Severity::Problem
        } else {
            Severity::Caution
        },
        text: format!(
            "with op-amps half as fast as typical ({slowest}) the resonance of Q {q:.1} at {:.0} Hz would move by {shift:.1} %, and its Q by {sharper:.0} %",
            pole.f_hz
        ),
        why: "the values allow for a typical op-amp; another sample differs, and the pitch with it"
            .to_owned(),
        remedy: "use a faster op-amp, or stages of lower Q".to_owned(),
        source: "poles of this circuit; samples differ by about two to one (common practice)",
    }]
}

/// The slowest type and its gain-bandwidth, in words; `None` where all are ideal.
fn slowest(e: &Evidence<'_>) -> Option<String> {
    let models = e.circuit.parts.iter().filter_map(|p| match &p.element {
        Element::Opamp(o) if !o.model.is_ideal() => Some(&o.model),
        _ => None,
    });
    let speed = |m: &&parts::OpampModel| m.gain_bandwidth.si();
    let model = models.min_by(|a, b| speed(a).total_cmp(&speed(b)))?;
    Some(format!(
        "{}, {}",
        model.name,
        Hertz(model.gain_bandwidth.si())
    ))
}
