//! A value out of the ordinary for its place.
//!
//! Checks every resistor, capacitor and inductor; those that move the centre are judged
//! as frequency-setting. Why: small resistors load the op-amp, large ones pick up hum,
//! small capacitors drown in strays, and a slip of a thousand between nF and pF kills a
//! board. Do: check the reading, or scale the stage. Source: [OAFE, §16.8.3]; common practice.

use super::Evidence;
use super::unsuitable_dielectric::SETS_FREQUENCY;
use crate::finding::{Finding, Severity};
use circuit::Element;
use parts::{PartValue, Place, suspicion};

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    e.circuit
        .parts
        .iter()
        .enumerate()
        .filter_map(|(k, part)| {
            let value = match part.element {
                Element::Resistor { value, .. } => PartValue::Resistance(value),
                Element::Capacitor { value, .. } => PartValue::Capacitance(value),
                Element::Inductor { value, .. } => PartValue::Inductance(value),
                _ => return None,
            };
            let sets = e.centre_sensitivity.get(k).is_some_and(|s| s.abs() > SETS_FREQUENCY);
            let doubt = suspicion(value, sets.then_some(Place::FrequencySetting))?;
            Some(Finding {
                id: "value_doubted",
                severity: if doubt.instead.is_some() { Severity::Caution } else { Severity::Note },
                text: format!("{}: {doubt}", part.reference),
                why: "small resistors load the op-amp, large ones pick up hum and hiss, small capacitors drown in strays, and a slip of a thousand kills a board".to_owned(),
                remedy: "check the value against the board; or scale the stage: multiply its resistors and divide its capacitors by the same number".to_owned(),
                source: "[OAFE, §16.8.3]: 1 kΩ to 100 kΩ, capacitors of 1 nF and more; common practice",
            })
        })
        .collect()
}
