//! Parts whose tolerance or dielectric is not stated.
//!
//! Checks the parts that set the pitch. Why: what a part may do cannot be judged without.
//! Do: state it in the file. Source: the circuit file.

use super::Evidence;
use super::unsuitable_dielectric::SETS_FREQUENCY;
use crate::finding::{Finding, Severity};
use circuit::Element;
use parts::Dielectric;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let unstated: Vec<&str> = e
        .circuit
        .parts
        .iter()
        .zip(e.centre_sensitivity)
        .filter(|(part, s)| {
            let value = matches!(
                part.element,
                Element::Resistor { .. } | Element::Capacitor { .. }
            );
            let unknown = matches!(
                part.element,
                Element::Capacitor {
                    dielectric: Dielectric::Unknown,
                    ..
                }
            );
            s.abs() > SETS_FREQUENCY && value && (part.tolerance.is_none() || unknown)
        })
        .map(|(part, _)| part.reference.as_str())
        .collect();
    if unstated.is_empty() {
        return Vec::new();
    }
    vec![Finding {
        id: "assumed_part",
        severity: Severity::Note,
        text: format!(
            "tolerance or dielectric is not stated for {}, which set the pitch",
            unstated.join(", ")
        ),
        why: "how far the built filter may stray cannot be judged without".to_owned(),
        remedy: "add tolerance = \"5 %\" and dielectric = \"film\" to those parts in the file"
            .to_owned(),
        source: "the circuit file",
    }]
}
