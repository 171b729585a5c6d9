//! An amplifier's output joined by wire to another output, to a rail, or to a source of no
//! impedance: two parts that both insist on a voltage.

use crate::NodeId;

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let mut found = Vec::new();
    let outputs: Vec<(usize, NodeId)> = wiring.opamps().map(|(p, o)| (p, o.out)).collect();
    for (k, &(part, out)) in outputs.iter().enumerate() {
        let name = wiring.reference(part);
        let earlier = outputs[..k].iter().find(|(_, o)| wiring.joined(*o, out));
        let (what, other) = if let Some(rail) = wiring.rail_at(out) {
            (
                format!("the output of {name} at {}", wiring.name(rail)),
                None,
            )
        } else if let Some(&(other, _)) = earlier {
            let tied = wiring.reference(other);
            (
                format!("the outputs of {tied} and {name} tied together"),
                Some(other),
            )
        } else if wiring.joined(out, wiring.circuit.input) && wiring.circuit.source.0 == 0.0 {
            (
                format!(
                    "the output of {name} at the input, which a source without impedance holds"
                ),
                None,
            )
        } else {
            continue;
        };
        let parts: Vec<usize> = other.into_iter().chain([part]).collect();
        found.push(Fault {
            found: what,
            allowed: "each output on a node of its own".to_owned(),
            why: "two that hold a voltage fight with their full current",
            advice: format!("move out of {name}, or put a resistor between"),
            ..wiring.fault(
                "outputs-tied",
                Severity::Problem,
                &parts,
                &[out],
                vec![Spot::Terminal(part, 2)],
            )
        });
    }
    found
}
