//! Which parts of a circuit may change.
//!
//! Without a word from the user: the resistors, but not those that set the mid-supply, no
//! electrolytic, and nothing of a planned circuit that is not of its filter. Whoever names a part may change it, whatever it is. What moves no figure is left
//! out, and told.

use super::refit::USUAL;
use super::shelf::Shelves;
use crate::retune::PartWish;
use circuit::system::System;
use circuit::{Circuit, Element, NodeId, Part};
use document::nearest;
use filter::swaps::Place;
use parts::Dielectric;
use units::Ratio;

/// The parts that may change, and why others may not.
pub(crate) struct Choosable {
    pub(crate) places: Vec<Place>,
    /// Parts left as they are, each group with the reason.
    pub(crate) stays: Vec<(String, Vec<String>)>,
}

impl Choosable {
    /// How a user knows them.
    pub(crate) fn references<'c>(
        &self,
        circuit: &'c Circuit,
        system: &System,
    ) -> impl Iterator<Item = &'c str> {
        let name = |place| reference(circuit, system, place);
        self.places.iter().map(name)
    }

    /// What may not change, in words for the end of a refusal.
    pub(crate) fn left_out(&self) -> String {
        match self.stays.as_slice() {
            [] => String::new(),
            stays => format!(" ({})", reasons(stays)),
        }
    }

    /// Leaves out the places for which `is_idle` holds, for a reason.
    pub(crate) fn leave_out(
        &mut self,
        circuit: &Circuit,
        system: &System,
        idle: &[bool],
        why: &str,
    ) {
        let mut left = Vec::new();
        let mut kept = Vec::new();
        for (place, idle) in self.places.drain(..).zip(idle) {
            if *idle {
                left.push(reference(circuit, system, &place).to_owned());
            } else {
                kept.push(place);
            }
        }
        self.places = kept;
        if !left.is_empty() {
            self.stays.push((why.to_owned(), left));
        }
    }
}

/// How a user knows a place.
pub(crate) fn reference<'c>(circuit: &'c Circuit, system: &System, place: &Place) -> &'c str {
    &circuit.parts[system.parameters()[place.parameter].part].reference
}

/// The parts that the wishes let change, with the values there are for each.
///
/// # Errors
/// A sentence when a wish names no part, contradicts another, or nothing is left.
pub(crate) fn choosable(
    circuit: &Circuit,
    system: &System,
    wish: &PartWish,
    shelves: &Shelves,
) -> Result<Choosable, String> {
    sound(circuit, wish)?;
    let mut stays = Vec::new();
    let mut places = Vec::new();
    for (parameter, p) in system.parameters().iter().enumerate() {
        let name = &circuit.parts[p.part].reference;
        let candidates = shelves.candidates(circuit, p.part);
        if !p.property.is_value() {
            continue;
        }
        match why_kept(circuit, wish, p.part) {
            Some(why) => note(&mut stays, why, name),
            None if candidates.is_empty() => {
                note(&mut stays, "no other value for it to choose from", name);
            }
            None => places.push(Place {
                parameter,
                now: p.value,
                candidates,
                price: price(wish, name),
            }),
        }
    }
    if places.is_empty() {
        return Err(nothing_left(&stays));
    }
    Ok(Choosable { places, stays })
}

fn note(stays: &mut Vec<(String, Vec<String>)>, why: &str, name: &str) {
    if why.is_empty() {
        return;
    }
    match stays.iter_mut().find(|(w, _)| w == why) {
        Some((_, names)) => names.push(name.to_owned()),
        None => stays.push((why.to_owned(), vec![name.to_owned()])),
    }
}

fn nothing_left(stays: &[(String, Vec<String>)]) -> String {
    format!(
        "no part is left that may change ({}); unlock one, allow another kind with --change, or \
         widen the values",
        reasons(stays)
    )
}

fn reasons(stays: &[(String, Vec<String>)]) -> String {
    let reason = |(why, names): &(String, Vec<String>)| format!("{}: {why}", names.join(", "));
    stays.iter().map(reason).collect::<Vec<_>>().join("; ")
}

/// Whether the wishes name parts that exist and do not contradict each other.
fn sound(circuit: &Circuit, wish: &PartWish) -> Result<(), String> {
    let named = wish.only.iter().chain(&wish.locked);
    for name in named.chain(wish.prices.iter().map(|(name, _)| name)) {
        let Some(part) = circuit.find_part(name) else {
            let all = circuit.parts.iter().map(|p| p.reference.as_str());
            let meant = nearest(name, all.clone());
            return Err(match meant {
                Some(meant) => format!("no part {name} in this circuit; did you mean {meant}?"),
                None => format!(
                    "no part {name} in this circuit; its parts are {}",
                    all.collect::<Vec<_>>().join(", ")
                ),
            });
        };
        let kind = circuit.parts[part].element.kind();
        if !matches!(kind, "resistor" | "capacitor") {
            return Err(format!(
                "{name} is of the kind {kind}; only resistors and capacitors are swapped"
            ));
        }
    }
    if let Some(name) = wish.only.iter().find(|n| wish.locked.contains(n)) {
        return Err(format!(
            "{name} is to change (--only) and to stay (--keep); leave one of the two out"
        ));
    }
    if let Some((name, _)) = wish.prices.iter().find(|(n, _)| wish.locked.contains(n)) {
        return Err(format!(
            "{name} has a price and is to stay (--keep); leave one of the two out"
        ));
    }
    Ok(())
}

/// Why a part stays as it is, if it does; empty where that need not be said.
pub(crate) fn why_kept<'c>(circuit: &'c Circuit, wish: &PartWish, part: usize) -> Option<&'c str> {
    let name = &circuit.parts[part].reference;
    if wish.locked.contains(name) {
        return Some("kept, as told");
    }
    if !wish.only.is_empty() {
        return (!wish.only.contains(name)).then_some("");
    }
    match &circuit.parts[part].element {
        Element::Resistor { .. } if !wish.change.resistors() => Some("resistors are not to change"),
        Element::Resistor { .. } if sets_supply(circuit, part) => Some("sets the mid-supply"),
        Element::Capacitor { .. } if !wish.change.capacitors() => Some(""),
        Element::Capacitor {
            dielectric: Dielectric::Electrolytic,
            ..
        } => Some("an electrolytic"),
        Element::Resistor { .. } | Element::Capacitor { .. } => {
            beside_the_filter(&circuit.parts[part])
        }
        _ => Some(""),
    }
}

/// What a planned circuit has beside the stages of its filter, which have numbers.
const BESIDE: [&str; 5] = ["input", "bias", "supply", "phones", "output"];

/// What a part of a planned circuit does that is none of its filter.
fn beside_the_filter(part: &Part) -> Option<&str> {
    let stage = part.stage.as_deref()?;
    // Where no role is written, somebody else has named the stages.
    part.role.as_deref().filter(|_| BESIDE.contains(&stage))
}

/// The loosest tolerances of resistors and of capacitors that are good enough where these parts may
/// change: the usual ones, or what stands there already.
pub(crate) fn loosest(circuit: &Circuit, wish: &PartWish) -> (Ratio, Ratio) {
    let of_kind = |kind: &str, usual: Ratio| {
        let parts = circuit.parts.iter().enumerate();
        parts
            .filter(|(k, p)| p.element.kind() == kind && why_kept(circuit, wish, *k).is_none())
            .filter_map(|(_, p)| p.tolerance)
            .fold(usual, |a, b| if b > a { b } else { a })
    };
    (of_kind("resistor", USUAL.0), of_kind("capacitor", USUAL.1))
}

fn price(wish: &PartWish, name: &str) -> f64 {
    let mut stated = wish.prices.iter();
    stated
        .find(|(n, _)| n == name)
        .map_or(1.0, |(_, price)| *price)
}

/// Whether a resistor leads from the supply, or from a node that one from the supply leads to
/// straight to 0 V.
fn sets_supply(circuit: &Circuit, part: usize) -> bool {
    if circuit.parts[part].stage.as_deref() == Some("bias") {
        return true;
    }
    let Some(supply) = circuit.find_node("vcc") else {
        return false;
    };
    let ends = |k: usize| match &circuit.parts[k].element {
        Element::Resistor { between, .. } => Some(*between),
        _ => None,
    };
    let Some(mine) = ends(part) else { return false };
    let from_supply = |node: NodeId| {
        let mut others = (0..circuit.parts.len()).filter_map(ends);
        others.any(|e| e.contains(&supply) && e.contains(&node))
    };
    mine.contains(&supply)
        || (mine.contains(&NodeId::GROUND)
            && mine
                .into_iter()
                .any(|n| n != NodeId::GROUND && from_supply(n)))
}
