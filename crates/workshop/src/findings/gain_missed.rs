//! Another gain than the one asked for.
//!
//! Checks the gain at the pitch against the wish. Why: the level plan was made with it.
//! Do: trim it. Source: the wish in the file; a step of 1 dB is just heard (common practice).

use super::Evidence;
use crate::finding::{Finding, Severity};
use crate::slack::GAIN_DB;
use units::Quantity;

/// A miss that upsets the level plan, dB.
const PLAIN_DB: f64 = 6.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let gain = e.report.response.gain_at_pitch_db;
    let Some(wanted) = e.wishes.gain.map(Quantity::si) else {
        return Vec::new();
    };
    if (gain - wanted).abs() <= GAIN_DB {
        return Vec::new();
    }
    vec![Finding {
        id: "gain_missed",
        severity: if (gain - wanted).abs() > PLAIN_DB {
            Severity::Problem
        } else {
            Severity::Caution
        },
        text: format!("the gain at the pitch is {gain:+.1} dB, asked for {wanted:+.1} dB"),
        why: "the level plan, from the loudest signal to the output, was made with the gain asked for"
            .to_owned(),
        remedy: "change the input attenuator, or the one resistor that sets the gain of a stage"
            .to_owned(),
        source: "the wish in the file; a step of 1 dB is just heard (common practice)",
    }]
}
