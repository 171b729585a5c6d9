//! Battery life.
//!
//! Checks the hours from the stated capacity. Why: a box that dies in an evening is not
//! used. Do: a low-current op-amp type or a larger battery. Source: parts data; capacity as stated.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::Amperes;

/// Hours under which the life is worth a word.
const SHORT_H: f64 = 12.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    match (e.report.supply.current_a, e.report.supply.battery_h) {
        (Some(current), Some(hours)) if hours < SHORT_H => vec![Finding {
            id: "battery_life",
            severity: Severity::Caution,
            text: format!(
                "the battery lasts about {hours:.0} hours at {}",
                Amperes(current)
            ),
            why: "a box that dies within a few evenings is left out of the chain".to_owned(),
            remedy: "use op-amps of lower supply current, fewer of them, or a larger battery"
                .to_owned(),
            source: "stated capacity over quiescent current; common practice",
        }],
        _ => Vec::new(),
    }
}
