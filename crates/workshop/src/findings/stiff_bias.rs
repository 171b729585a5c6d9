//! A mid-supply node too soft for what stands on it.
//!
//! Checks the impedance of a resistor-divider mid-supply at the pitch against the
//! smallest signal-carrying resistor that returns to it. Why: the stages then couple through it,
//! shift and may oscillate. Do: a larger capacitor or a buffer.
//! Source: common practice (bias impedance at most 1 % of the smallest leg).

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::{Circuit, Element, NodeId};
use units::{Ohms, Quantity};

/// Greatest bias impedance as a share of the smallest leg, and where it becomes wrong.
const ALLOWED: f64 = 0.01;
const WRONG: f64 = 0.05;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(vcc) = e.circuit.find_node("vcc") else {
        return Vec::new();
    };
    let omega = std::f64::consts::TAU * e.wishes.pitch.si();
    (1..e.circuit.nodes.len())
        .map(NodeId)
        .filter(|&node| is_divider(e.circuit, node, vcc))
        .filter_map(|node| judge(e.circuit, node, vcc, omega))
        .collect()
}

fn judge(circuit: &Circuit, node: NodeId, vcc: NodeId, omega: f64) -> Option<Finding> {
    let (leg_ref, leg) = smallest_leg(circuit, node, vcc)?;
    let impedance = bias_impedance(circuit, node, vcc, omega);
    let share = impedance / leg;
    if share <= ALLOWED {
        return None;
    }
    Some(Finding {
        id: "stiff_bias",
        severity: if share > WRONG { Severity::Problem } else { Severity::Caution },
        text: format!(
            "the mid-supply node {} has {} at the pitch, {:.1} % of the {} of {leg_ref} that returns to it",
            circuit.node_name(node),
            Ohms(impedance),
            100.0 * share,
            Ohms(leg)
        ),
        why: "signal in the mid-supply couples the stages: the pitch shifts, the skirts suffer, and it can oscillate".to_owned(),
        remedy: "put a larger capacitor from mid-supply to 0 V, or buffer the divider with an op-amp".to_owned(),
        source: "common practice: at most 1 % of the smallest leg",
    })
}

/// A node held by one resistor to each rail.
fn is_divider(circuit: &Circuit, node: NodeId, vcc: NodeId) -> bool {
    let joined = |rail| {
        circuit.parts.iter().any(|p| match &p.element {
            Element::Resistor { between, .. } => other_end(between, node) == Some(rail),
            _ => false,
        })
    };
    joined(vcc) && joined(NodeId::GROUND)
}

fn other_end(between: &[NodeId; 2], node: NodeId) -> Option<NodeId> {
    match *between {
        [a, b] if a == node => Some(b),
        [a, b] if b == node => Some(a),
        _ => None,
    }
}

fn smallest_leg(circuit: &Circuit, node: NodeId, vcc: NodeId) -> Option<(&str, f64)> {
    circuit
        .parts
        .iter()
        .filter_map(|p| match &p.element {
            Element::Resistor { value, between } => {
                let far = other_end(between, node)?;
                (far != vcc && far != NodeId::GROUND).then_some((p.reference.as_str(), value.si()))
            }
            _ => None,
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Magnitude of the parts from the node to the rails in parallel, ohm.
fn bias_impedance(circuit: &Circuit, node: NodeId, vcc: NodeId, omega: f64) -> f64 {
    let (mut conductance, mut susceptance) = (0.0, 0.0);
    for part in &circuit.parts {
        let (ends, g, b) = match &part.element {
            Element::Resistor { value, between } => (between, 1.0 / value.si(), 0.0),
            Element::Capacitor { value, between, .. } => (between, 0.0, omega * value.si()),
            _ => continue,
        };
        if matches!(other_end(ends, node), Some(far) if far == vcc || far == NodeId::GROUND) {
            conductance += g;
            susceptance += b;
        }
    }
    1.0 / f64::hypot(conductance, susceptance)
}
