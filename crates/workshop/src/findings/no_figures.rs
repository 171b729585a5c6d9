//! Figures that are withheld.
//!
//! Checks whether every amplifier on the way of the signal rests where it can pass one. Why:
//! response, ringing, noise and levels are computed about a balance that such a circuit is not
//! in. Do: mend the circuit at rest first. Source: the computed operating point.

use super::Evidence;
use crate::finding::{Finding, Severity};

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(why) = &e.report.withheld else {
        return Vec::new();
    };
    vec![Finding {
        id: "no_figures",
        severity: Severity::Problem,
        text: format!("no figure of signals is given: {why}"),
        why: "response, ringing, noise and levels would be those of a balance that exists on paper only"
            .to_owned(),
        remedy: "mend what is wrong at rest, told beside this, and check again".to_owned(),
        source: "DC operating point of this circuit",
    }]
}
