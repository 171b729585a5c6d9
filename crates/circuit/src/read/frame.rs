//! What stands around the parts: title, ports, source, load, supply.

use document::{Objection, Table};
use units::{AmpereHours, Ohms, Volts};

use crate::{Circuit, NodeId, Supply};

use super::ReadCircuit;
use super::part;
use super::places::Places;

/// Tables of the same file that belong to the need and are read there.
const OF_THE_NEED: [&str; 2] = ["listening", "levels"];

/// Reads the root table.
pub(super) fn read(root: &Table<'_>) -> Option<ReadCircuit> {
    root.tolerate(&OF_THE_NEED);
    let mut circuit = Circuit::new(root.text("title").or(""));
    let input = port(root, "input", &mut circuit);
    let output = port(root, "output", &mut circuit);
    let source = impedance(root, "source");
    let load = impedance(root, "load");
    let supply = supply(root);
    let tables = root
        .tables("part")
        .required_as("[{ ref = \"R1\", … }], or a heading [[part]] for each");
    let mut places = Vec::new();
    let mut whole = true;
    for table in tables.as_deref().unwrap_or_default() {
        match part::read(table, &mut circuit) {
            Some((part, place)) => {
                circuit.parts.push(part);
                places.push(place);
            }
            None => whole = false,
        }
    }
    tables?;
    circuit.input = input?;
    circuit.output = output?;
    circuit.source = source?.unwrap_or(Ohms(0.0));
    circuit.load = load?;
    circuit.supply = supply?;
    let places = Places {
        input: root.span_of("input"),
        output: root.span_of("output"),
        supply: circuit.supply.as_ref().map(|_| root.span_of("supply")),
        parts: places,
    };
    whole.then_some(ReadCircuit { circuit, places })
}

fn port(root: &Table<'_>, key: &str, circuit: &mut Circuit) -> Option<NodeId> {
    let name = root
        .text(key)
        .refine(node_name)
        .required_as("a node's name");
    name.map(|name| circuit.node(name))
}

/// Accepts what may name a node.
pub(super) fn node_name(name: &str) -> Result<&str, Objection> {
    let bad = name.is_empty()
        || name.trim() != name
        || name.chars().count() > LONGEST_NAME
        || name.chars().any(char::is_control);
    if bad {
        return Err(Objection::new(
            format!("the node name {name:?}"),
            format!("a name of 1 to {LONGEST_NAME} characters without spaces around it"),
            "write a short name such as \"a\" or \"mid\"; \"0\" is 0 V",
        ));
    }
    Ok(name)
}

/// Characters of the longest name a schematic can still show.
const LONGEST_NAME: usize = 40;

/// `key = { impedance = … }`. `None` after a complaint, `Some(None)` when left out.
#[expect(
    clippy::option_option,
    reason = "left out and refused are different answers"
)]
fn impedance(root: &Table<'_>, key: &str) -> Option<Option<Ohms>> {
    let entry = root.table(key);
    if !entry.is_present() {
        return Some(None);
    }
    let table = entry.optional()?;
    let given = table.quantity::<Ohms>("impedance").required_as("\"10k\"")?;
    Some(Some(given))
}

#[expect(
    clippy::option_option,
    reason = "left out and refused are different answers"
)]
fn supply(root: &Table<'_>) -> Option<Option<Supply>> {
    let entry = root.table("supply");
    if !entry.is_present() {
        return Some(None);
    }
    let table = entry.optional()?;
    let voltage = table
        .quantity::<Volts>("voltage")
        .positive()
        .required_as("\"9 V\"");
    let lowest = table.quantity::<Volts>("lowest").positive();
    let lowest_refused = lowest.is_present();
    let lowest = lowest
        .refine(|lowest| match voltage {
            Some(fresh) if lowest > fresh => Err(Objection::new(
                lowest.to_string(),
                format!("at most the fresh voltage, {fresh}"),
                "write the voltage at which the box must still work",
            )),
            _ => Ok(lowest),
        })
        .optional();
    let capacity = table.quantity::<AmpereHours>("capacity").positive();
    let capacity_given = capacity.is_present();
    let capacity = capacity.optional();
    if lowest_refused && lowest.is_none() || capacity_given && capacity.is_none() {
        return None;
    }
    Some(Some(Supply {
        voltage: voltage?,
        lowest,
        capacity,
    }))
}
