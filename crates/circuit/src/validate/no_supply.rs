//! A real amplifier whose supply pins are not fed, or fed the wrong way round.

use crate::islands::Islands;
use crate::{NodeId, Opamp};

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let conductors = Islands::of_direct_current(wiring.circuit);
    wiring
        .opamps()
        .filter(|(_, opamp)| !opamp.model.is_ideal())
        .filter_map(|(part, opamp)| {
            let (found, advice) = judge(wiring, &conductors, part, opamp)?;
            Some(Fault {
                found,
                allowed: "a positive supply pin fed from vcc and a negative one at 0".to_owned(),
                why: "a real amplifier does nothing without its supply",
                advice,
                ..wiring.fault(
                    "no-supply",
                    Severity::Problem,
                    &[part],
                    &opamp.rails,
                    vec![Spot::Terminal(part, 3), Spot::Supply],
                )
            })
        })
        .collect()
}

/// What is wrong with one amplifier's supply, and what to do.
fn judge(
    wiring: &Wiring<'_>,
    conductors: &Islands,
    part: usize,
    opamp: &Opamp,
) -> Option<(String, String)> {
    let name = wiring.reference(part);
    let [positive, negative] = opamp.rails;
    let feed = wiring.vcc.filter(|_| wiring.circuit.supply.is_some());
    let Some(vcc) = feed else {
        return Some((
            format!("{name}, a real amplifier, in a circuit without a supply"),
            format!("add supply = {{ voltage = \"9 V\" }}, or make {name} type = \"ideal\""),
        ));
    };
    let [at_positive, at_negative] = opamp.rails.map(|rail| wiring.name(rail));
    if wiring.joined(negative, vcc) && wiring.joined(positive, NodeId::GROUND) {
        return Some((
            format!(
                "{name} with its supply the wrong way round: positive at {at_positive}, negative at {at_negative}"
            ),
            "write power = [\"vcc\", \"0\"]".to_owned(),
        ));
    }
    if wiring.joined(positive, negative) {
        return Some((
            format!("{name} with both supply pins at {at_positive}"),
            "write power = [\"vcc\", \"0\"]".to_owned(),
        ));
    }
    let unfed = opamp
        .rails
        .into_iter()
        .find(|&rail| conductors.of(rail) != conductors.of(NodeId::GROUND))?;
    let rail = wiring.name(unfed);
    Some((
        format!("{name} fed from node {rail}, which no direct current reaches"),
        format!(
            "join {rail} to the supply by a wire or resistor, or leave power out for vcc and 0"
        ),
    ))
}
