//! The source or the output joined to a rail by wire. With the input at 0 V or at the
//! supply no signal enters, with the output there none leaves.

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let circuit = wiring.circuit;
    let ports = [
        ("input", circuit.input, Spot::Input),
        ("output", circuit.output, Spot::Output),
    ];
    ports
        .into_iter()
        .filter_map(|(port, node, spot)| {
            let rail = wiring.rail_at(node)?;
            let rail_name = match wiring.name(rail) {
                "0" => "0 V",
                other => other,
            };
            let name = wiring.name(node);
            let found = match node == rail {
                true => format!("the {port} at {rail_name} itself"),
                false => format!("the {port} {name} joined to {rail_name} by wire"),
            };
            Some(Fault {
                found,
                allowed: "a node of its own for input and for output".to_owned(),
                why: "a short to a rail lets no signal in or out",
                advice: format!("take the wire, closed switch or 0 Ω from {name}, or name the node the {port} is really at"),
                ..wiring.fault("shorted-port", Severity::Problem, &[], &[node], vec![spot])
            })
        })
        .collect()
}
