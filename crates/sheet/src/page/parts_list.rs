//! The parts list: equal parts in one line, with how each is marked.

use std::collections::BTreeSet;

use circuit::{Circuit, Element, Part};
use parts::Dielectric;
use parts::marking::{Colour, Figures, ToleranceMark, capacitor_code, colour_bands};
use units::{Quantity, Ratio};

/// One line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct PartLine {
    /// How many.
    pub quantity: usize,
    /// What it is: `resistor`, `film capacitor`.
    pub what: String,
    /// Its value or type: `4.7 kΩ`, `TL072`; empty where there is none.
    pub value: String,
    /// Its tolerance: `1 %`; empty where none is stated.
    pub tolerance: String,
    /// Where it goes: `R3`, `R7`.
    pub references: Vec<String>,
    /// Colour bands of a resistor, in reading order; empty otherwise.
    pub bands: Vec<Colour>,
    /// Printed code of a capacitor (`103J`); empty otherwise.
    pub code: String,
}

/// The parts of a circuit with equal ones in one line: resistors, capacitors, inductors
/// by rising value, then everything else.
#[must_use]
pub fn parts_list(circuit: &Circuit) -> Vec<PartLine> {
    let mut keyed: Vec<(Key, PartLine)> = Vec::new();
    let mut packages: BTreeSet<String> = BTreeSet::new();
    for part in &circuit.parts {
        let (key, line) = line(part);
        if matches!(part.element, Element::Opamp(_)) && !packages.insert(line.references[0].clone())
        {
            continue;
        }
        match keyed.iter_mut().find(|(k, _)| same(k, &key)) {
            Some((_, known)) => {
                known.quantity += 1;
                known.references.extend(line.references);
            }
            None => keyed.push((key, line)),
        }
    }
    keyed.sort_by(|(a, _), (b, _)| {
        a.kind
            .cmp(&b.kind)
            .then(a.value.total_cmp(&b.value))
            .then(a.words.cmp(&b.words))
    });
    keyed.into_iter().map(|(_, line)| line).collect()
}

/// The parts list as comma-separated values with a heading line.
///
/// # Panics
/// Never: writing to memory does not fail.
#[must_use]
pub fn parts_csv(circuit: &Circuit) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heading = [
        "quantity",
        "part",
        "value",
        "tolerance",
        "references",
        "bands",
        "code",
    ];
    let mut rows = vec![heading.map(str::to_owned)];
    rows.extend(parts_list(circuit).into_iter().map(|l| {
        let bands: Vec<&str> = l.bands.iter().map(|b| b.name()).collect();
        [
            l.quantity.to_string(),
            l.what,
            l.value,
            l.tolerance,
            l.references.join(" "),
            bands.join(" "),
            l.code,
        ]
    }));
    for row in rows {
        writer.write_record(row).expect("memory takes every record");
    }
    let bytes = writer.into_inner().expect("memory takes every record");
    String::from_utf8(bytes).expect("records are text")
}

/// What makes two parts equal.
struct Key {
    kind: usize,
    value: f64,
    words: String,
}

fn same(a: &Key, b: &Key) -> bool {
    a.kind == b.kind && a.words == b.words && (a.value - b.value).abs() <= 1e-9 * a.value.abs()
}

fn line(part: &Part) -> (Key, PartLine) {
    let (kind, si, what, value) = describe(part);
    let tolerance = part.tolerance.map(|t| t.to_string()).unwrap_or_default();
    let (bands, code) = marking(part);
    let line = PartLine {
        quantity: 1,
        references: vec![part.package().name.to_owned()],
        tolerance: tolerance.clone(),
        what: what.clone(),
        value: value.clone(),
        bands,
        code,
    };
    let words = format!("{what}|{tolerance}|{}", if si > 0.0 { "" } else { &value });
    let key = Key {
        kind,
        value: si,
        words,
    };
    (key, line)
}

/// Order of kinds, value in SI units, kind and value in words.
fn describe(part: &Part) -> (usize, f64, String, String) {
    match &part.element {
        Element::Resistor { value, .. } => (0, value.si(), "resistor".into(), value.to_string()),
        Element::Capacitor {
            value, dielectric, ..
        } => (
            1,
            value.si(),
            capacitor(*dielectric).into(),
            value.to_string(),
        ),
        Element::Inductor { value, .. } => (2, value.si(), "inductor".into(), value.to_string()),
        Element::Pot(pot) => (
            3,
            pot.value.si(),
            "potentiometer".into(),
            pot.value.to_string(),
        ),
        Element::Diode(_) => (4, 0.0, "silicon diode".into(), String::new()),
        Element::Switch(s) => {
            let what = format!("switch, {} ways", s.ways.len());
            (5, 0.0, what, String::new())
        }
        Element::Opamp(amp) if amp.model.is_ideal() => (6, 0.0, "op-amp".into(), "any type".into()),
        Element::Opamp(amp) => {
            let what = match amp.model.pinout.amplifiers {
                1 => "single op-amp",
                2 => "dual op-amp",
                4 => "quad op-amp",
                _ => "op-amp",
            };
            (6, 0.0, what.into(), amp.model.name.clone())
        }
    }
}

fn capacitor(dielectric: Dielectric) -> &'static str {
    match dielectric {
        Dielectric::C0g => "ceramic capacitor, C0G",
        Dielectric::Film => "film capacitor",
        Dielectric::Polyester => "polyester capacitor",
        Dielectric::Polypropylene => "polypropylene capacitor",
        Dielectric::Polystyrene => "polystyrene capacitor",
        Dielectric::X7r => "ceramic capacitor, X7R",
        Dielectric::Y5v => "ceramic capacitor, Y5V",
        Dielectric::Electrolytic => "electrolytic capacitor",
        Dielectric::Tantalum => "tantalum capacitor",
        Dielectric::Unknown => "capacitor",
    }
}

/// Colour bands of a resistor, or the printed code of a small capacitor.
fn marking(part: &Part) -> (Vec<Colour>, String) {
    /// Tolerance taken where the part states none: metal film kits (common practice).
    const USUAL: Ratio = Ratio(0.01);
    match &part.element {
        Element::Resistor { value, .. } => {
            let tolerance = part.tolerance.unwrap_or(USUAL);
            let figures = Figures::usual(tolerance);
            let bands = colour_bands(*value, tolerance, figures);
            (bands.unwrap_or_default(), String::new())
        }
        Element::Capacitor {
            dielectric: Dielectric::Electrolytic,
            ..
        } => (Vec::new(), String::new()),
        Element::Capacitor { value, .. } => {
            let letter = part
                .tolerance
                .and_then(|t| ToleranceMark::Within(t).letter())
                .map(String::from)
                .unwrap_or_default();
            let code = capacitor_code(*value).map(|c| c + &letter);
            (Vec::new(), code.unwrap_or_default())
        }
        _ => (Vec::new(), String::new()),
    }
}
