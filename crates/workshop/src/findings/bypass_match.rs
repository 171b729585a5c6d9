//! Unequal loudness in bypass.
//!
//! Checks the gain at the pitch against the gain asked for (0 dB when nothing was asked).
//! Why: the louder position wins every comparison. Do: trim the gain. Source: common practice.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::{Decibels, Quantity};

/// A level step that is just heard, dB.
const HEARD_DB: f64 = 1.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let gain = e.report.response.gain_at_pitch_db;
    let wanted = e.wishes.gain.unwrap_or(Decibels(0.0)).si();
    if (gain - wanted).abs() <= HEARD_DB {
        return Vec::new();
    }
    vec![Finding {
        id: "bypass_match",
        severity: if (gain - wanted).abs() > 6.0 {
            Severity::Caution
        } else {
            Severity::Note
        },
        text: format!("the gain at the pitch is {gain:+.1} dB, wanted {wanted:+.1} dB"),
        why: "when filter and bypass differ in loudness, the louder one wins every comparison"
            .to_owned(),
        remedy: "change the input attenuator, or the one resistor that sets the gain of a stage"
            .to_owned(),
        source: "common practice: equal loudness in and out",
    }]
}
