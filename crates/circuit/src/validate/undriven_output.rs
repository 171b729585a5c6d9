//! Nothing at the input, nothing at the output, or no way from one to the other.

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let circuit = wiring.circuit;
    let mut found = Vec::new();
    for (port, node, spot) in [
        ("input", circuit.input, Spot::Input),
        ("output", circuit.output, Spot::Output),
    ] {
        if wiring.ends[node.0].is_empty() {
            let name = wiring.name(node);
            let near = document::nearest(
                name,
                circuit
                    .nodes
                    .iter()
                    .map(String::as_str)
                    .filter(|n| *n != name),
            );
            found.push(Fault {
                found: format!("the {port} at node {name}, where no part is soldered"),
                allowed: "a node that a part names".to_owned(),
                why: "the signal has nowhere to go",
                advice: match near {
                    Some(near) => format!("write {port} = \"{near}\", or join a part to {name}"),
                    None => format!("join a part to {name}"),
                },
                ..wiring.fault(
                    "undriven-output",
                    Severity::Problem,
                    &[],
                    &[node],
                    vec![spot],
                )
            });
        }
    }
    let same = circuit.input == circuit.output;
    if found.is_empty() && !same && !wiring.reached_from(circuit.input)[circuit.output.0] {
        let [from, to] = [circuit.input, circuit.output].map(|n| wiring.name(n));
        found.push(Fault {
            found: format!("no way for the signal from {from} to {to}"),
            allowed: "parts that lead from the input to the output".to_owned(),
            why: "the output would only hiss",
            advice: format!(
                "follow the signal from {from} and look for a misspelt node or an open switch"
            ),
            ..wiring.fault(
                "undriven-output",
                Severity::Problem,
                &[],
                &[circuit.input, circuit.output],
                vec![Spot::Output, Spot::Input],
            )
        });
    }
    found
}
