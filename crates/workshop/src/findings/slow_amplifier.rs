//! An op-amp too slow for this Q.
//!
//! Checks the first-order shift of a single-amplifier resonator, `Δf0/f0 ≈ −Q f0/f_t`,
//! against its half width `1/(2Q)`. Why: the plan allows for it, but another sample or
//! type then moves the pitch. Do: a faster op-amp or a lower Q. Source: [FRANCO §6].

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::Element;
use units::Quantity;

/// Shares of the half width that the shift may take before it is told, and is wrong.
const TOLD: f64 = 0.1;
const WRONG: f64 = 0.5;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let pitch = e.wishes.pitch.si();
    let sharpest = e
        .report
        .poles
        .iter()
        .filter(|p| p.f_hz > pitch / 3.0 && p.f_hz < pitch * 3.0)
        .filter_map(|p| p.q.map(|q| (q, p.f_hz)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let slowest = e
        .circuit
        .parts
        .iter()
        .filter_map(|p| match &p.element {
            Element::Opamp(o) if !o.model.is_ideal() => Some(&o.model),
            _ => None,
        })
        .min_by(|a, b| a.gain_bandwidth.si().total_cmp(&b.gain_bandwidth.si()));
    let (Some((q, f0)), Some(model)) = (sharpest, slowest) else {
        return Vec::new();
    };
    let shift = q * f0 / model.gain_bandwidth.si();
    let share = shift * 2.0 * q;
    if share < TOLD {
        return Vec::new();
    }
    vec![Finding {
        id: "slow_amplifier",
        severity: if share > WRONG {
            Severity::Problem
        } else {
            Severity::Caution
        },
        text: format!(
            "a stage of Q {q:.1} at {f0:.0} Hz is moved about {:.1} % by the {}'s gain-bandwidth of {}",
            100.0 * shift,
            model.name,
            model.gain_bandwidth
        ),
        why: "the values allow for a typical op-amp; another sample differs, and the pitch with it"
            .to_owned(),
        remedy: format!(
            "use an op-amp with a gain-bandwidth of at least {:.2}, or stages of lower Q",
            units::Hertz(20.0 * q * q * f0)
        ),
        source: "Δf0/f0 ≈ −Q f0/ft for one-amplifier stages [FRANCO]",
    }]
}
