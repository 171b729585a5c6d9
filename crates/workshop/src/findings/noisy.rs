//! The circuit's own hiss.
//!
//! Checks the noise at the output against the comfortable signal there. Why: hiss made
//! after the receiver is heard in every pause. Do: lower resistances, quieter op-amps, less
//! attenuation in front. Source: thermal noise 4kTR and parts data; common practice for the limit.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::{Quantity, Volts};

/// Distance from the signal that is inaudible beside band noise, dB.
const QUIET_DB: f64 = 50.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(signal) = e.wishes.signal else {
        return Vec::new();
    };
    // Beside its peak a filter has no signal to speak of: `off_pitch` tells that.
    let at_output = signal.si() * 10f64.powf(e.report.response.peak_db / 20.0);
    let noise = e.report.noise.output_v_rms;
    let distance = 20.0 * (at_output / noise).log10();
    if !distance.is_finite() || distance >= QUIET_DB {
        return Vec::new();
    }
    let loudest = e
        .report
        .noise
        .by_part
        .first()
        .map_or("none", |p| p.reference.as_str());
    vec![Finding {
        id: "noisy",
        severity: if distance < 30.0 {
            Severity::Problem
        } else {
            Severity::Caution
        },
        text: format!(
            "the circuit's own noise of {} is only {distance:.0} dB below the comfortable signal",
            Volts(noise)
        ),
        why: "hiss made after the receiver is heard in every pause, and no setting removes it"
            .to_owned(),
        remedy: format!(
            "start with {loudest}, which adds most; use lower resistances, a quieter op-amp or less attenuation ahead"
        ),
        source: "thermal noise 4kTR, op-amp noise from the parts data; limit common practice",
    }]
}
