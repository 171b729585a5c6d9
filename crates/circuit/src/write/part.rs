//! One `[[part]]`.

use units::{Amperes, Ohms, Ratio};

use crate::read::TAPERS;
use crate::{Circuit, Diode, DiodeKind, Element, NodeId, Opamp, Part, Pot, Taper};

use super::amplifier;
use super::text::{number, quoted, shown};

/// The lines of one part, the heading first.
pub(super) fn lines(circuit: &Circuit, part: &Part) -> String {
    let mut lines = vec![
        "[[part]]".to_owned(),
        format!("ref = {}", quoted(&part.reference)),
        format!("kind = {}", quoted(part.element.kind())),
    ];
    lines.extend(element(circuit, &part.element));
    lines.extend(knowledge(part));
    let mut text = lines.join("\n") + "\n";
    // Tables inside the part must stand after its last plain key.
    if let Element::Opamp(opamp) = &part.element
        && amplifier::named(&opamp.model).is_none()
    {
        text += &amplifier::numbers(&opamp.model);
    }
    text
}

fn element(circuit: &Circuit, element: &Element) -> Vec<String> {
    match element {
        Element::Resistor { value, between } => vec![
            format!("value = {}", shown(*value)),
            format!("between = {}", list(circuit, between)),
        ],
        Element::Capacitor {
            value,
            dielectric,
            between,
        } => {
            let mut lines = vec![format!("value = {}", shown(*value))];
            if *dielectric != parts::Dielectric::Unknown {
                lines.push(format!("dielectric = {}", quoted(dielectric.word())));
            }
            lines.push(format!("between = {}", list(circuit, between)));
            lines
        }
        Element::Inductor {
            value,
            resistance,
            between,
        } => {
            let mut lines = vec![format!("value = {}", shown(*value))];
            if *resistance != Ohms(0.0) {
                lines.push(format!("resistance = {}", shown(*resistance)));
            }
            lines.push(format!("between = {}", list(circuit, between)));
            lines
        }
        Element::Opamp(opamp) => opamp_lines(circuit, opamp),
        Element::Diode(diode) => diode_lines(circuit, diode),
        Element::Pot(pot) => pot_lines(circuit, pot),
        Element::Switch(switch) => vec![
            format!("common = {}", name(circuit, switch.common)),
            format!("ways = {}", list(circuit, &switch.ways)),
            format!("position = {}", switch.position),
        ],
    }
}

fn name(circuit: &Circuit, node: NodeId) -> String {
    quoted(circuit.node_name(node))
}

fn list(circuit: &Circuit, nodes: &[NodeId]) -> String {
    let names: Vec<String> = nodes.iter().map(|&n| name(circuit, n)).collect();
    format!("[{}]", names.join(", "))
}

fn opamp_lines(circuit: &Circuit, opamp: &Opamp) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(named) = amplifier::named(&opamp.model) {
        lines.push(format!("type = {}", quoted(named)));
    }
    for (key, node) in [
        ("plus", opamp.plus),
        ("minus", opamp.minus),
        ("out", opamp.out),
    ] {
        lines.push(format!("{key} = {}", name(circuit, node)));
    }
    if !amplifier::on_the_usual_rails(circuit, opamp) {
        lines.push(format!("power = {}", list(circuit, &opamp.rails)));
    }
    lines
}

fn diode_lines(circuit: &Circuit, diode: &Diode) -> Vec<String> {
    let same = |a: f64, b: f64| a.to_bits() == b.to_bits();
    let kind = DiodeKind::ALL
        .iter()
        .find(|k| same(k.saturation_a(), diode.saturation_a) && same(k.ideality(), diode.ideality));
    let mut lines = match kind {
        Some(kind) => vec![format!("type = {}", quoted(kind.word()))],
        None => vec![
            format!("saturation = {}", shown(Amperes(diode.saturation_a))),
            format!("ideality = {}", number(diode.ideality)),
        ],
    };
    lines.push(format!("anode = {}", name(circuit, diode.anode)));
    lines.push(format!("cathode = {}", name(circuit, diode.cathode)));
    lines
}

fn pot_lines(circuit: &Circuit, pot: &Pot) -> Vec<String> {
    let mut lines = vec![
        format!("value = {}", shown(pot.value)),
        format!("position = {}", shown(Ratio(pot.position))),
    ];
    let word = TAPERS.iter().find(|(_, taper)| *taper == pot.taper);
    if let (Some((word, _)), true) = (word, pot.taper != Taper::Linear) {
        lines.push(format!("taper = {}", quoted(word)));
    }
    lines.push(format!("ends = {}", list(circuit, &pot.ends)));
    lines.push(format!("wiper = {}", name(circuit, pot.wiper)));
    lines
}

/// What is known of a part besides its element.
fn knowledge(part: &Part) -> Vec<String> {
    let tolerance = part.tolerance.map(|t| format!("tolerance = {}", shown(t)));
    let texts = [
        ("stage", &part.stage),
        ("role", &part.role),
        ("note", &part.note),
    ];
    let texts = texts
        .into_iter()
        .filter_map(|(key, text)| Some(format!("{key} = {}", quoted(text.as_ref()?))));
    tolerance.into_iter().chain(texts).collect()
}
