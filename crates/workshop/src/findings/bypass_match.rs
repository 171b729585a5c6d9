//! Unequal loudness in bypass.
//!
//! Checks the gain at the pitch against what the phones get straight from the source, whose
//! impedance and theirs divide the open-circuit voltage. Why: the louder position wins
//! every comparison. Do: the gain that makes both alike. Source: voltage divider; common practice.

use super::Evidence;
use crate::bypass;
use crate::finding::{Finding, Severity};
use units::{Ohms, Quantity};

/// A level step that is just heard, dB.
const HEARD_DB: f64 = 1.0;
/// A level step that startles, dB.
const STARTLES_DB: f64 = 6.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let source = e.circuit.source;
    let Some(load) = bypass::load(e.circuit, e.wishes) else {
        return Vec::new();
    };
    let straight = bypass::straight_db(e.circuit, e.wishes);
    let step = e.report.response.gain_at_pitch_db - straight;
    if step.abs() <= HEARD_DB {
        return Vec::new();
    }
    let which = if step > 0.0 { "louder" } else { "quieter" };
    vec![Finding {
        id: "bypass_match",
        severity: if step > STARTLES_DB {
            Severity::Caution
        } else {
            Severity::Note
        },
        text: format!(
            "the filter plays {:.1} dB {which} than bypass: {}",
            step.abs(),
            divided(source, load, straight)
        ),
        why: "when filter and bypass differ in loudness, the louder one wins every comparison"
            .to_owned(),
        remedy: format!(
            "for equal loudness make the gain at the pitch {straight:+.1} dB, by the input attenuator or the resistor that sets a stage's gain"
        ),
        source: "voltage divider of source and load; common practice: equal loudness in and out",
    }]
}

fn divided(source: Ohms, load: Ohms, straight: f64) -> String {
    if source.si() == 0.0 {
        return format!("a source of 0 Ω gives {load} its whole voltage");
    }
    format!("straight at the source of {source}, {load} get {straight:+.1} dB of its open voltage")
}
