//! What the filter does for hiss, honestly.
//!
//! Checks the hiss that falls against what an ear at the pitch notices of it. Why: the
//! ear is a filter of its own, so plain hiss gains little. Do: expect help against
//! neighbours. Source: equivalent rectangular bandwidth [GM1990].

use super::Evidence;
use crate::finding::{Finding, Severity};

/// Drop of hiss from which the explanation is worth giving, dB.
const WORTH_TELLING_DB: f64 = 6.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let (Some(drop), Some(gain)) = (
        e.report.listener.hiss_drop_db,
        e.report.listener.ear_gain_db,
    ) else {
        return Vec::new();
    };
    if drop < WORTH_TELLING_DB || gain > drop / 2.0 {
        return Vec::new();
    }
    vec![Finding {
        id: "ear_already_filters",
        severity: Severity::Note,
        text: format!(
            "all hiss falls by {drop:.1} dB, but an ear tuned to the pitch gains only {gain:.1} dB against it"
        ),
        why: "the ear already filters about one equivalent rectangular bandwidth round a tone"
            .to_owned(),
        remedy:
            "expect comfort and relief from neighbours rather than weaker signals out of plain hiss"
                .to_owned(),
        source: "ERB = 24.7 (4.37 f/kHz + 1) Hz [GM1990]",
    }]
}
