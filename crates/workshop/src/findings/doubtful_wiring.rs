//! Wiring that can be analysed but is hardly meant.
//!
//! Checks what the netlist's own judges call doubtful: a part that hangs loose, an
//! amplifier that its package does not hold, a name that looks like 0 V but is not. Why:
//! mostly a slip of typing or of the iron. Do: as each says. Source: the netlist itself.

use super::Evidence;
use super::value_doubted::OUT_OF_ORDINARY;
use crate::finding::{Finding, Severity};
use circuit::validate;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    validate::faults(e.circuit)
        .into_iter()
        .filter(|fault| fault.id != OUT_OF_ORDINARY)
        .map(|fault| Finding {
            id: "doubtful_wiring",
            severity: match fault.severity {
                validate::Severity::Problem => Severity::Problem,
                // Beside amplifiers that do not rest as they should it is the likeliest cause.
                validate::Severity::Doubt if e.report.withheld.is_some() => Severity::Problem,
                validate::Severity::Doubt => Severity::Caution,
            },
            text: format!("{}; there should be {}", fault.found, fault.allowed),
            why: fault.why.to_owned(),
            remedy: fault.advice,
            source: "the netlist itself",
        })
        .collect()
}
