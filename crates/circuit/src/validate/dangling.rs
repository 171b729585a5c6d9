//! A node with a single end soldered to it. Most often a misspelt name; the part at it does
//! nothing. Unused throws of a switch and the open end of a pot are left in peace.

use crate::{Element, NodeId};

use super::fault::{Fault, Severity};
use super::wiring::{Terminal, Wiring};

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let ports = [wiring.circuit.input, wiring.circuit.output];
    (1..wiring.ends.len())
        .map(NodeId)
        .filter(|node| !ports.contains(node) && Some(*node) != wiring.vcc)
        .filter_map(|node| match wiring.ends[node.0].as_slice() {
            [end] if matters(&wiring.circuit.parts[end.part].element, end.place) => {
                Some(judge(wiring, node, *end))
            }
            _ => None,
        })
        .collect()
}

/// Whether an end left open is worth a word. An open input of an amplifier is named by the
/// search for direct-current paths.
fn matters(element: &Element, place: usize) -> bool {
    match element {
        Element::Switch(_) => false,
        Element::Pot(_) => place == 2,
        Element::Opamp(_) => place == 2,
        _ => true,
    }
}

fn judge(wiring: &Wiring<'_>, node: NodeId, end: Terminal) -> Fault {
    let (part, name) = (wiring.reference(end.part), wiring.name(node));
    let others = wiring.circuit.nodes.iter().map(String::as_str);
    let near = document::nearest(name, others.filter(|n| *n != name));
    let is_output = matches!(wiring.circuit.parts[end.part].element, Element::Opamp(_));
    let found = match is_output {
        true => format!("{part} drives node {name}, where nothing else is soldered"),
        false => format!("{part} hangs on node {name} alone"),
    };
    let advice = match near {
        Some(near) => format!("write \"{near}\" if that was meant, or join another part to {name}"),
        None => format!("join another part to {name}, or take {part} out"),
    };
    Fault {
        found,
        allowed: "two ends or more at every node".to_owned(),
        why: "a part with an open end does nothing",
        advice,
        ..wiring.fault(
            "dangling",
            Severity::Doubt,
            &[end.part],
            &[node],
            vec![end.spot()],
        )
    }
}
