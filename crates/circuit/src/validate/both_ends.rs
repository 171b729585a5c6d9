//! A part with both ends on one node: it does nothing. An amplifier with both inputs on one
//! node has nothing to amplify, which is a problem.

use crate::{Element, NodeId};

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let parts = wiring.circuit.parts.iter().enumerate();
    parts
        .filter_map(|(index, part)| {
            let (node, severity, what) = same(&part.element)?;
            let name = wiring.name(node);
            Some(Fault {
                found: format!("{what} of {} on node {name}", part.reference),
                allowed: "two different nodes".to_owned(),
                why: "a part across one node carries nothing",
                advice: format!("correct one of its nodes, or take {} out", part.reference),
                ..wiring.fault(
                    "both-ends",
                    severity,
                    &[index],
                    &[node],
                    vec![Spot::Terminal(index, 1), Spot::Terminal(index, 0)],
                )
            })
        })
        .collect()
}

/// The node both ends share, and how bad that is.
fn same(element: &Element) -> Option<(NodeId, Severity, &'static str)> {
    let (same, node, severity, what) = match element {
        Element::Resistor { between, .. }
        | Element::Capacitor { between, .. }
        | Element::Inductor { between, .. } => {
            let [a, b] = between;
            (a == b, *a, Severity::Doubt, "both ends")
        }
        Element::Diode(d) => (d.anode == d.cathode, d.anode, Severity::Doubt, "both ends"),
        Element::Pot(p) => {
            let all = p.ends == [p.wiper; 2];
            (all, p.wiper, Severity::Doubt, "all three ends")
        }
        Element::Opamp(o) => (o.plus == o.minus, o.plus, Severity::Problem, "both inputs"),
        Element::Switch(_) => return None,
    };
    same.then_some((node, severity, what))
}
