//! One part of a circuit made into two.
//!
//! The two take the place of the one in the list, under its reference with the letters A and B: letters
//! behind a number make units of a package only for amplifiers, so R5A and R5B are parts of their own
//! that stay beside each other in every list. In series they meet at a node of their own.

use crate::topology::PlaceKind;
use crate::values::{Compound, Joint};
use circuit::{Circuit, Element, NodeId};
use units::{Farads, Ohms};

/// Replaces a part by the two of a compound and gives their references; `None`, and nothing is changed,
/// where there is no such part, it is of another kind, or the references are taken.
pub fn double(circuit: &mut Circuit, reference: &str, compound: &Compound) -> Option<[String; 2]> {
    let place = circuit.find_part(reference)?;
    let between = match (&circuit.parts[place].element, compound.kind) {
        (Element::Resistor { between, .. }, PlaceKind::Resistor)
        | (Element::Capacitor { between, .. }, PlaceKind::Capacitor) => *between,
        _ => return None,
    };
    let references = ["A", "B"].map(|letter| format!("{reference}{letter}"));
    if references.iter().any(|r| circuit.find_part(r).is_some()) {
        return None;
    }
    let ends = match compound.joint {
        Joint::Parallel => [between, between],
        Joint::Series => {
            let middle = own_node(circuit, reference);
            [[between[0], middle], [middle, between[1]]]
        }
    };
    let joint = compound.joint;
    let halves = [0, 1].map(|k| {
        let mut part = circuit.parts[place].clone();
        part.reference.clone_from(&references[k]);
        part.element = worth(part.element, compound.parts[k], ends[k]);
        part.note = Some(format!("{joint} with {}, in one place", references[1 - k]));
        part
    });
    circuit.parts.splice(place..=place, halves);
    Some(references)
}

/// The element with another value, elsewhere.
fn worth(element: Element, si: f64, between: [NodeId; 2]) -> Element {
    match element {
        Element::Resistor { .. } => Element::Resistor {
            value: Ohms(si),
            between,
        },
        Element::Capacitor { dielectric, .. } => Element::Capacitor {
            value: Farads(si),
            dielectric,
            between,
        },
        other => other,
    }
}

/// A node that no part is on, named after the reference.
fn own_node(circuit: &mut Circuit, reference: &str) -> NodeId {
    let mut name = format!("{}ab", reference.to_lowercase());
    while circuit.find_node(&name).is_some() {
        name.push('x');
    }
    circuit.node(&name)
}
