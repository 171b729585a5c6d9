//! No decoupling.
//!
//! Checks for a capacitor of at least 47 nF straight across the supply of the
//! amplifiers. Why: an undecoupled amplifier can oscillate, out of hearing or as
//! motorboating. Do: 100 nF at every package's supply pins. Source: common practice.

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::Element;
use units::Quantity;

/// Least capacitance that counts as decoupling, F.
const LEAST_F: f64 = 47e-9;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let rails: Vec<_> = e
        .circuit
        .parts
        .iter()
        .filter_map(|p| match &p.element {
            Element::Opamp(o) if !o.model.is_ideal() => Some(o.rails),
            _ => None,
        })
        .collect();
    let decoupled = |rails: &[circuit::NodeId; 2]| {
        e.circuit.parts.iter().any(|p| match &p.element {
            Element::Capacitor { value, between, .. } => {
                value.si() >= LEAST_F
                    && (between == rails || (between[0] == rails[1] && between[1] == rails[0]))
            }
            _ => false,
        })
    };
    if rails.iter().all(decoupled) {
        return Vec::new();
    }
    vec![Finding {
        id: "decoupling",
        severity: Severity::Caution,
        text: "no capacitor of 47 nF or more stands across the supply pins of the op-amps".to_owned(),
        why: "an undecoupled amplifier can oscillate, too high to hear or as motorboating".to_owned(),
        remedy: "solder 100 nF close to the supply pins of every package, and one larger capacitor where the supply enters".to_owned(),
        source: "common practice",
    }]
}
