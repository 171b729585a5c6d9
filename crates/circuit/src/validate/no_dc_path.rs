//! Nodes that no direct current reaches. Where an input of a real amplifier is among them
//! its bias current charges the node until the amplifier sticks at a rail: a problem.
//! Between two capacitors it is mere doubt: the surface of the board decides the voltage.

use crate::islands::Islands;
use crate::{Element, NodeId};

use super::fault::{Fault, Severity, Spot};
use super::wiring::{Terminal, Wiring};

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let islands = Islands::of_direct_current(wiring.circuit).afloat(wiring.circuit);
    islands.iter().map(|island| judge(wiring, island)).collect()
}

fn judge(wiring: &Wiring<'_>, island: &[NodeId]) -> Fault {
    let ends: Vec<Terminal> = island
        .iter()
        .flat_map(|n| wiring.ends[n.0].iter().copied())
        .collect();
    let is_input = |end: &&Terminal| {
        let element = &wiring.circuit.parts[end.part].element;
        matches!(element, Element::Opamp(o) if end.place < 2 && !o.model.is_ideal())
    };
    let names: Vec<&str> = island.iter().map(|&n| wiring.name(n)).collect();
    let nodes = match names.as_slice() {
        [one] => format!("node {one}"),
        many => format!("nodes {}", many.join(", ")),
    };
    let mut parts: Vec<usize> = ends.iter().map(|e| e.part).collect();
    parts.dedup();
    let input = ends.iter().find(is_input);
    let (severity, found, advice) = match input {
        Some(end) => (
            Severity::Problem,
            format!(
                "an input of {} at {nodes}, which no direct current reaches",
                wiring.reference(end.part)
            ),
            format!("give {} a resistor to the mid-supply node", names[0]),
        ),
        None => (
            Severity::Doubt,
            format!("{nodes} without a path for direct current"),
            format!(
                "put a large resistor from {} to 0 or the mid-supply node if its voltage matters",
                names[0]
            ),
        ),
    };
    let telling = input.or(ends.first()).map(|e| e.spot());
    let spots: Vec<Spot> = telling
        .into_iter()
        .chain(ends.iter().map(|e| e.spot()))
        .collect();
    Fault {
        found,
        allowed: "at every node a resistor, coil or amplifier output that leads on".to_owned(),
        why: "leakage and bias current decide its voltage",
        advice,
        ..wiring.fault("no-dc-path", severity, &parts, island, spots)
    }
}
