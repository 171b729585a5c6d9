//! A value that is possible but out of the ordinary for its place, above all the
//! thousandfold slip between nF and pF. The ranges are those of [`parts::suspicion`].
//!
//! The place is taken from the part's role; without one, a part from an amplifier's input
//! to another signal node is taken to set a frequency, and of any other nothing is assumed.

use parts::{PartValue, Place, suspicion};

use crate::{Element, NodeId, Part};

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

/// Capacitance that decouples rather than filters, F (common practice: film of a filter
/// ends at 1 µF).
const LARGE: f64 = 1e-6;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let parts = wiring.circuit.parts.iter().enumerate();
    parts
        .filter_map(|(index, part)| {
            let (value, between) = two_ended(&part.element)?;
            let doubt = suspicion(value, place(wiring, part, between))?;
            let (least, most) = doubt.ordinary;
            let where_to = doubt.place.map_or("an audio filter", Place::words);
            let name = &part.reference;
            Some(Fault {
                found: format!("{name} with {value}, out of the ordinary in {where_to}"),
                allowed: format!("{least} to {most}"),
                why: "a slip of a prefix moves the filter a thousandfold",
                advice: match doubt.instead {
                    Some(instead) => format!("write {instead} if a thousandfold slip crept in"),
                    None => format!("check the value of {name}"),
                },
                ..wiring.fault(
                    "out-of-ordinary",
                    Severity::Doubt,
                    &[index],
                    &[],
                    vec![Spot::Value(index)],
                )
            })
        })
        .collect()
}

fn two_ended(element: &Element) -> Option<(PartValue, [NodeId; 2])> {
    match element {
        Element::Resistor { value, between } => Some((PartValue::Resistance(*value), *between)),
        Element::Capacitor { value, between, .. } => {
            Some((PartValue::Capacitance(*value), *between))
        }
        Element::Inductor { value, between, .. } => Some((PartValue::Inductance(*value), *between)),
        _ => None,
    }
}

fn place(wiring: &Wiring<'_>, part: &Part, between: [NodeId; 2]) -> Option<Place> {
    let role = part.role.as_deref().unwrap_or_default().to_lowercase();
    if role.contains("decoupling") {
        return Some(Place::Decoupling);
    }
    if role.contains("coupling") {
        return Some(Place::Coupling);
    }
    let circuit = wiring.circuit;
    let aside =
        |node: NodeId| node == circuit.input || node == circuit.output || is_quiet(wiring, node);
    // A follower's output is its − input too, and sets nothing.
    let at_an_input = |node: NodeId| {
        !wiring.opamps().any(|(_, o)| o.out == node)
            && wiring
                .opamps()
                .any(|(_, o)| o.plus == node || o.minus == node)
    };
    let sets = !between.into_iter().any(aside) && between.into_iter().any(at_an_input);
    sets.then_some(Place::FrequencySetting)
}

/// Whether a node carries no signal: a rail, or held still by a large capacitor to one.
fn is_quiet(wiring: &Wiring<'_>, node: NodeId) -> bool {
    let holds = |element: &Element| match element {
        Element::Capacitor { value, between, .. } => {
            let to_rail = between.iter().any(|&end| wiring.rail_at(end).is_some());
            to_rail && value.0 >= LARGE
        }
        _ => false,
    };
    wiring.rail_at(node).is_some()
        || wiring.ends[node.0]
            .iter()
            .any(|end| holds(&wiring.circuit.parts[end.part].element))
}
