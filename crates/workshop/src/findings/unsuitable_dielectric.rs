//! An unsuitable dielectric in a frequency-setting place.
//!
//! Checks what every capacitor that moves the centre is made of. Why: class 2 ceramic
//! loses capacitance with voltage and age, electrolytics are loose. Do: film or C0G.
//! Source: common practice; dielectric data of the parts crate.

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::Element;
use parts::Dielectric;

/// Share of a part's change that must reach the centre for the part to set it.
pub(super) const SETS_FREQUENCY: f64 = 0.02;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let loose: Vec<&str> = e
        .circuit
        .parts
        .iter()
        .zip(e.centre_sensitivity)
        .filter(|(part, s)| {
            s.abs() > SETS_FREQUENCY
                && matches!(
                    &part.element,
                    Element::Capacitor {
                        dielectric: Dielectric::X7r
                            | Dielectric::Y5v
                            | Dielectric::Electrolytic
                            | Dielectric::Tantalum,
                        ..
                    }
                )
        })
        .map(|(part, _)| part.reference.as_str())
        .collect();
    if loose.is_empty() {
        return Vec::new();
    }
    vec![Finding {
        id: "unsuitable_dielectric",
        severity: Severity::Problem,
        text: format!("{} set the pitch and are of a dielectric that does not hold its value", loose.join(", ")),
        why: "class 2 ceramic loses capacitance with voltage, temperature and age, and electrolytics are loose from the start".to_owned(),
        remedy: "use film or C0G capacitors there".to_owned(),
        source: "common practice",
    }]
}
