//! An op-amp that the tired battery no longer feeds.
//!
//! Checks the lowest supply against the least voltage of every type. Why: it clips early
//! or stops before the battery is empty. Do: another type, or a fresh battery earlier.
//! Source: parts data. (The fresh supply is judged with the circuit at rest.)

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::Element;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(supply) = &e.circuit.supply else {
        return Vec::new();
    };
    let lowest = supply.lowest.unwrap_or(supply.voltage);
    let mut told: Vec<&str> = Vec::new();
    let mut found = Vec::new();
    for part in &e.circuit.parts {
        let Element::Opamp(o) = &part.element else {
            continue;
        };
        let least = o.model.supply_range.0;
        if lowest >= least || supply.voltage < least {
            continue;
        }
        if told.contains(&o.model.name.as_str()) {
            continue;
        }
        told.push(&o.model.name);
        found.push(Finding {
            id: "starved_amplifier",
            severity: Severity::Caution,
            text: format!(
                "the {} needs {least} and gets {lowest} from the tired battery",
                o.model.name
            ),
            why: "below its least supply an op-amp clips early or stops".to_owned(),
            remedy: "choose a type for lower voltage, or change the battery earlier".to_owned(),
            source: "supply range from the parts data; see the datasheet",
        });
    }
    found
}
