//! A value out of the ordinary for its place.
//!
//! Checks every resistor, capacitor and inductor; those that move the centre are judged
//! as frequency-setting. Why: small resistors load the op-amp, large ones pick up hum,
//! small capacitors drown in strays, and a slip of a thousand between nF and pF kills a
//! board. Do: check the reading, or scale the stage. Source: [OAFE, §16.8.3]; common practice.

use super::Evidence;
use super::unsuitable_dielectric::SETS_FREQUENCY;
use crate::finding::{Finding, Severity};
use circuit::validate::{self, Fault};
use circuit::{Element, Part};
use parts::{PartValue, Place, suspicion};

/// The netlist's own name for such a doubt.
pub(super) const OUT_OF_ORDINARY: &str = "out-of-ordinary";

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let faults: Vec<Fault> = validate::faults(e.circuit)
        .into_iter()
        .filter(|fault| fault.id == OUT_OF_ORDINARY)
        .collect();
    let parts = e.circuit.parts.iter().enumerate();
    parts
        .filter_map(|(k, part)| {
            let sensitivity = e.centre_sensitivity.get(k).map_or(0.0, |s| s.abs());
            by_share(part, sensitivity > SETS_FREQUENCY).or_else(|| by_place(part, &faults))
        })
        .collect()
}

/// Judged by whether the part moves the centre.
fn by_share(part: &Part, sets: bool) -> Option<Finding> {
    let value = match part.element {
        Element::Resistor { value, .. } => PartValue::Resistance(value),
        Element::Capacitor { value, .. } => PartValue::Capacitance(value),
        Element::Inductor { value, .. } => PartValue::Inductance(value),
        _ => return None,
    };
    let doubt = suspicion(value, sets.then_some(Place::FrequencySetting))?;
    Some(finding(
        if doubt.instead.is_some() {
            Severity::Caution
        } else {
            Severity::Note
        },
        format!("{}: {doubt}", part.reference),
        "check the value against the board; or scale the stage: multiply its resistors and divide its capacitors by the same number".to_owned(),
    ))
}

/// Judged by where the part stands: a slip may have put it so far off that it moves nothing.
fn by_place(part: &Part, faults: &[Fault]) -> Option<Finding> {
    let fault = faults.iter().find(|f| f.parts.contains(&part.reference))?;
    Some(finding(
        Severity::Caution,
        format!("{}; ordinary is {}", fault.found, fault.allowed),
        fault.advice.clone(),
    ))
}

fn finding(severity: Severity, text: String, remedy: String) -> Finding {
    Finding {
        id: "value_doubted",
        severity,
        text,
        why: "small resistors load the op-amp, large ones pick up hum and hiss, small capacitors drown in strays, and a slip of a thousand kills a board".to_owned(),
        remedy,
        source: "[OAFE, §16.8.3]: 1 kΩ to 100 kΩ, capacitors of 1 nF and more; common practice",
    }
}
