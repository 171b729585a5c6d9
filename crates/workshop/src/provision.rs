//! Where the parts of a planned circuit come from: the drawer first, the shop for the rest.
//!
//! Parts that set a frequency choose before all others, from the piles the value search chose
//! from, measured pieces before unmeasured ones of the same value; so everything the search
//! counted on is there. Other parts take what carries their value: a capacitor one that is fit
//! for its place and polarised where it is. Every piece is given away once, and the circuit then
//! says what that piece is made of and how closely it keeps its value, not what was asked for.

use circuit::{Circuit, Element, Part};
use filter::topology::PlaceKind;
use filter::values::{METER, Stock};
use parts::{Dielectric, Drawer, DrawerItem, DrawerPart, Fitness, Place};
use serde::Serialize;
use std::collections::HashMap;
use units::{Farads, Ohms, Quantity};

/// Rectifiers of the 1 A kind, by the beginning of their type (from memory).
const RECTIFIER: &str = "1N400";

/// A part that lies in the drawer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FromDrawer {
    /// Reference on the schematic; of an op-amp its package.
    #[serde(rename = "ref")]
    pub reference: String,
    /// What the circuit file calls its kind.
    pub kind: &'static str,
    /// Printed resistance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_ohm: Option<f64>,
    /// Printed capacitance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_f: Option<f64>,
    /// Printed name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What the piece was measured to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_ohm: Option<f64>,
    /// What the piece was measured to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_f: Option<f64>,
    /// What the user wrote about it.
    pub note: String,
    /// Line of the drawer's file.
    pub line: usize,
}

/// Parts that must be bought: equal ones together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToBuy {
    /// References on the schematic.
    pub refs: Vec<String>,
    /// How many.
    pub quantity: usize,
    /// What the circuit file calls their kind.
    pub kind: &'static str,
    /// Resistance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_ohm: Option<f64>,
    /// Capacitance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_f: Option<f64>,
    /// Type.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What a capacitor is to be made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dielectric: Option<&'static str>,
    /// Tolerance as a part of the value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<f64>,
    /// In words.
    #[serde(skip)]
    pub words: String,
}

/// Where every part comes from.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Provision {
    /// What lies in the drawer.
    pub(crate) from_drawer: Vec<FromDrawer>,
    /// What does not.
    pub(crate) buy: Vec<ToBuy>,
}

/// Says where each part of a circuit comes from, makes of those that lie in the drawer the pieces
/// that lie there, and notes on the parts themselves which are to be bought and which were measured.
pub(crate) fn provision(circuit: &mut Circuit, drawer: &Drawer, stock: &Stock) -> Provision {
    let mut hands = Hands {
        drawer,
        stock,
        given: HashMap::new(),
    };
    let mut sources: Vec<Option<usize>> = vec![None; circuit.parts.len()];
    let order = (0..circuit.parts.len()).filter(|&k| sets_frequency(&circuit.parts[k]));
    let others = (0..circuit.parts.len()).filter(|&k| !sets_frequency(&circuit.parts[k]));
    let mut packages: HashMap<String, Option<usize>> = HashMap::new();
    for k in order.chain(others) {
        let part = &circuit.parts[k];
        sources[k] = match &part.element {
            // One package holds several amplifiers.
            Element::Opamp(_) => *packages
                .entry(part.package().name.to_owned())
                .or_insert_with(|| hands.take(part)),
            _ => hands.take(part),
        };
    }
    let mut provision = Provision::default();
    let mut seen: Vec<String> = Vec::new();
    for (part, source) in circuit.parts.iter_mut().zip(sources) {
        let reference = part.package().name.to_owned();
        if !seen.contains(&reference) {
            match source {
                Some(row) => provision
                    .from_drawer
                    .push(taken(&reference, part, drawer, row)),
                None => provision.want(&reference, part),
            }
            seen.push(reference);
        }
        let row = source.map(|row| &drawer.parts[row]);
        if let Some(row) = row {
            becomes(part, row);
        }
        if !matches!(part.element, Element::Opamp(_)) {
            note(part, row);
        }
    }
    provision
}

impl Provision {
    /// What has to be bought, in a sentence.
    #[must_use]
    pub(crate) fn words(&self, file: &str) -> String {
        let (here, all) = (self.from_drawer.len(), self.wanted());
        let list: Vec<String> = self.buy.iter().map(|b| b.words.clone()).collect();
        match list.as_slice() {
            [] => format!("all {all} parts lie in {file}"),
            _ => format!(
                "{here} of {all} parts lie in {file}; to buy: {}",
                list.join(", ")
            ),
        }
    }

    fn wanted(&self) -> usize {
        self.from_drawer.len() + self.buy.iter().map(|b| b.quantity).sum::<usize>()
    }

    fn want(&mut self, reference: &str, part: &Part) {
        let mut wanted = to_buy(reference, part);
        let same = self.buy.iter_mut().find(|b| {
            let value = |b: &ToBuy| b.value_ohm.or(b.value_f);
            b.kind == wanted.kind
                && b.name == wanted.name
                && b.dielectric == wanted.dielectric
                && b.tolerance == wanted.tolerance
                && match (value(b), value(&wanted)) {
                    (Some(a), Some(b)) => near(a, b),
                    (a, b) => a == b,
                }
        });
        match same {
            Some(same) => {
                same.quantity += 1;
                same.refs.push(reference.to_owned());
                same.words = in_words(same);
            }
            None => {
                wanted.words = in_words(&wanted);
                self.buy.push(wanted);
            }
        }
    }
}

/// What is left while pieces are given away.
struct Hands<'a> {
    drawer: &'a Drawer,
    stock: &'a Stock,
    /// Pieces given away of each row.
    given: HashMap<usize, usize>,
}

impl Hands<'_> {
    /// The row a part is taken from.
    fn take(&mut self, part: &Part) -> Option<usize> {
        let row = match (&part.element, sets_frequency(part)) {
            (Element::Resistor { value, .. }, true) => self.pile(PlaceKind::Resistor, value.si()),
            (Element::Capacitor { value, .. }, true) => self.pile(PlaceKind::Capacitor, value.si()),
            _ => self.row(part),
        }?;
        *self.given.entry(row).or_default() += 1;
        Some(row)
    }

    fn left(&self, row: usize) -> bool {
        let given = self.given.get(&row).copied().unwrap_or(0);
        given < self.drawer.parts[row].quantity
    }

    /// A row of the piles that the search chose from.
    fn pile(&self, kind: PlaceKind, value: f64) -> Option<usize> {
        let mut piles: Vec<_> = self.stock.piles(kind).iter().collect();
        piles.sort_by_key(|pile| !pile.measured);
        let mut fits = piles.into_iter().filter(|pile| near(pile.value, value));
        let row = fits.find(|pile| self.left(pile.row));
        row.map(|pile| pile.row)
    }

    /// Any row that serves.
    fn row(&self, part: &Part) -> Option<usize> {
        let rows = self.drawer.parts.iter().enumerate();
        let mut fit =
            rows.filter(|(_, row)| row.item.measured().is_none() && serves(&row.item, part));
        fit.find(|(row, _)| self.left(*row)).map(|(row, _)| row)
    }
}

/// Whether a part stands in a stage of the filter and not beside it.
fn sets_frequency(part: &Part) -> bool {
    let stage = part.stage.as_deref();
    stage.is_some_and(|stage| stage.parse::<usize>().is_ok())
}

/// Whether what lies in the drawer serves for a part beside the filter.
fn serves(item: &DrawerItem, part: &Part) -> bool {
    match (item, &part.element) {
        (DrawerItem::Resistor { value, .. }, Element::Resistor { value: wanted, .. }) => {
            near(value.si(), wanted.si())
        }
        (
            DrawerItem::Capacitor {
                value, dielectric, ..
            },
            Element::Capacitor {
                value: wanted,
                dielectric: asked,
                ..
            },
        ) => near(value.si(), wanted.si()) && made_for(*dielectric, *asked, part),
        (DrawerItem::Opamp { model }, Element::Opamp(opamp)) => model.name == opamp.model.name,
        (DrawerItem::Other { name }, Element::Diode(_)) => {
            name.to_uppercase().starts_with(RECTIFIER)
        }
        _ => false,
    }
}

/// Whether a capacitor of one make serves where another was planned.
fn made_for(has: Dielectric, asked: Dielectric, part: &Part) -> bool {
    let role = part.role.as_deref().unwrap_or_default();
    let place = match role {
        "coupling" => Place::Coupling,
        "radio-frequency bypass" => Place::FrequencySetting,
        _ => Place::Decoupling,
    };
    let polarised_alike = has.is_polarised() == asked.is_polarised();
    has == asked || (polarised_alike && has.fitness(place) == Fitness::Good)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

fn taken(reference: &str, part: &Part, drawer: &Drawer, row: usize) -> FromDrawer {
    let row = &drawer.parts[row];
    let (printed, measured) = (row.item.printed(), row.item.measured());
    let ohm = matches!(part.element, Element::Resistor { .. });
    let farad = matches!(part.element, Element::Capacitor { .. });
    FromDrawer {
        reference: reference.to_owned(),
        kind: part.element.kind(),
        value_ohm: printed.filter(|_| ohm),
        value_f: printed.filter(|_| farad),
        name: row.item.name().map(str::to_owned),
        measured_ohm: measured.filter(|_| ohm),
        measured_f: measured.filter(|_| farad),
        note: row.note.clone(),
        line: row.line,
    }
}

fn to_buy(reference: &str, part: &Part) -> ToBuy {
    let mut wanted = ToBuy {
        refs: vec![reference.to_owned()],
        quantity: 1,
        kind: part.element.kind(),
        value_ohm: None,
        value_f: None,
        name: None,
        dielectric: None,
        tolerance: part.tolerance.map(Quantity::si),
        words: String::new(),
    };
    match &part.element {
        Element::Resistor { value, .. } => wanted.value_ohm = Some(value.si()),
        Element::Capacitor {
            value, dielectric, ..
        } => {
            wanted.value_f = Some(value.si());
            wanted.dielectric = Some(dielectric.word());
        }
        Element::Opamp(opamp) => wanted.name = Some(opamp.model.name.clone()),
        _ => {}
    }
    wanted
}

fn in_words(wanted: &ToBuy) -> String {
    let value = wanted.value_ohm.map(|v| Ohms(v).to_string());
    let value = value.or_else(|| wanted.value_f.map(|v| Farads(v).to_string()));
    let value = value.or_else(|| wanted.name.clone());
    let mut words = value.unwrap_or_else(|| wanted.kind.to_owned());
    if let Some(dielectric) = wanted.dielectric {
        words += &format!(" {dielectric}");
    }
    let refs = wanted.refs.join(" ");
    match wanted.quantity {
        1 => format!("{words} ({refs})"),
        n => format!("{n} × {words} ({refs})"),
    }
}

/// Gives a part the dielectric and the tolerance of the piece that will be soldered: of a measured
/// one what the meter leaves, of one that states none what the plan reckoned with.
fn becomes(part: &mut Part, row: &DrawerPart) {
    if let (Element::Capacitor { dielectric, .. }, Some(has)) =
        (&mut part.element, row.item.dielectric())
    {
        *dielectric = has;
    }
    part.tolerance = match row.item.measured() {
        Some(_) => Some(METER),
        None => row.tolerance.or(part.tolerance),
    };
}

/// Notes on a part that it is to be bought, or which measured piece it is.
fn note(part: &mut Part, row: Option<&DrawerPart>) {
    let words = match row {
        None => "to buy".to_owned(),
        Some(row) => match row.which_piece() {
            Some(words) => words,
            None => return,
        },
    };
    part.note = Some(match part.note.take() {
        Some(known) => format!("{known}; {words}"),
        None => words,
    });
}
