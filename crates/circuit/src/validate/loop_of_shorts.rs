//! Wires in a ring. The analyses share the current evenly; on the board the ring is either
//! superfluous or a switch too many is closed.

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    wiring
        .looping
        .iter()
        .map(|&part| {
            let element = &wiring.circuit.parts[part].element;
            let name = wiring.reference(part);
            Fault {
                found: format!("{name} closes a ring of wires"),
                allowed: "one way at most between two nodes without resistance".to_owned(),
                why: "how current divides in a ring of wires is undecided",
                advice: format!("open {name}, or take out what it bridges"),
                ..wiring.fault(
                    "loop-of-shorts",
                    Severity::Doubt,
                    &[part],
                    &element.nodes(),
                    vec![Spot::Part(part)],
                )
            }
        })
        .collect()
}
