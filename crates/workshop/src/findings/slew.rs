//! Slew rate.
//!
//! Checks that every amplifier can follow its full swing at the frequency where it
//! works hardest. Why: a slewing amplifier distorts and detunes. Do: a faster op-amp.
//! Source: `SR = 2π f V_peak` [OAFE §16.8.4].

use super::Evidence;
use crate::finding::{Finding, Severity};

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    if e.report.levels.slew_ok {
        return Vec::new();
    }
    vec![Finding {
        id: "slew",
        severity: Severity::Caution,
        text: "an amplifier cannot follow its own full swing at the frequencies it handles".to_owned(),
        why: "a slewing amplifier distorts and shifts the pitch of the filter when signals are strong".to_owned(),
        remedy: "use an op-amp type with a higher slew rate, or keep signals smaller".to_owned(),
        source: "SR = 2π f V peak [OAFE §16.8.4]",
    }]
}
