//! The supply joined to 0 V by wire.

use crate::NodeId;

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let shorted =
        |&vcc: &NodeId| wiring.circuit.supply.is_some() && wiring.joined(vcc, NodeId::GROUND);
    let Some(vcc) = wiring.vcc.filter(shorted) else {
        return Vec::new();
    };
    let wires: Vec<usize> = wiring.wires_at(vcc).collect();
    let parts = wires.iter().map(|&part| Spot::Part(part));
    let spots = parts.chain([Spot::Supply]).collect();
    vec![Fault {
        found: "vcc joined to 0 V by wire".to_owned(),
        allowed: "resistors, capacitors and amplifiers between vcc and 0 V".to_owned(),
        why: "the battery would be shorted",
        advice: "open the closed switch, or take away the 0 Ω, between vcc and 0".to_owned(),
        ..wiring.fault(
            "shorted-supply",
            Severity::Problem,
            &wires,
            &[vcc, NodeId::GROUND],
            spots,
        )
    }]
}
