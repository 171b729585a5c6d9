//! An amplifier whose output leads back to neither of its inputs. A textbook one then has
//! no answer at all; a real one rests at a rail (a comparator, hardly a filter).

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    wiring
        .opamps()
        .filter(|(_, opamp)| wiring.rail_at(opamp.out).is_none())
        .filter(|(_, opamp)| {
            let reached = wiring.reached_from(opamp.out);
            let fed_back = |node: crate::NodeId| reached[node.0] && wiring.rail_at(node).is_none();
            !fed_back(opamp.minus) && !fed_back(opamp.plus)
        })
        .map(|(part, opamp)| {
            let name = wiring.reference(part);
            let minus = wiring.name(opamp.minus);
            let severity = match opamp.model.is_ideal() {
                true => Severity::Problem,
                false => Severity::Doubt,
            };
            Fault {
                found: format!(
                    "{name} without feedback: nothing leads from its output {} back to its inputs",
                    wiring.name(opamp.out)
                ),
                allowed: "a path from the output to the inverting input".to_owned(),
                why: "without feedback the output rests at a rail",
                advice: format!(
                    "join {} to {minus} by a wire, resistor or capacitor",
                    wiring.name(opamp.out)
                ),
                ..wiring.fault(
                    "no-feedback",
                    severity,
                    &[part],
                    &[opamp.out, opamp.minus],
                    vec![Spot::Terminal(part, 1), Spot::Terminal(part, 2)],
                )
            }
        })
        .collect()
}
