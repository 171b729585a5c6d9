//! `stock`: what is in the drawer, what is doubtful about it, and changes to its file.

use crate::finding::Finding;
use crate::refusal::Refusal;
use crate::stocktaking;
use parts::{Dielectric, Drawer, DrawerItem, DrawerPart, DrawerSlip, edit_drawer};
use serde::Serialize;
use units::Quantity;

pub use parts::DrawerChange;

/// Which drawer, and what changes in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockRequest {
    /// Name of the drawer file, for complaints.
    pub name: String,
    /// Its text, with its byte-order mark if it has one.
    pub text: String,
    /// The changes, made one after the other.
    pub slips: Vec<StockSlip>,
}

/// One change, as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockSlip {
    /// What it asks for.
    pub change: DrawerChange,
    /// What it is called in complaints (`--add`).
    pub name: String,
    /// Its words.
    pub words: String,
}

/// One row of the drawer. Of the values only that of its kind is there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockRow {
    /// What the file calls its kind.
    pub kind: &'static str,
    /// Printed resistance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_ohm: Option<f64>,
    /// Printed capacitance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_f: Option<f64>,
    /// Printed inductance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value_h: Option<f64>,
    /// Printed name, where no value is printed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Tolerance as a part of the value, if stated.
    pub tolerance: Option<f64>,
    /// What a capacitor is made of, if stated.
    pub dielectric: Option<&'static str>,
    /// How many there are.
    pub quantity: usize,
    /// What the piece was measured to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_ohm: Option<f64>,
    /// What the piece was measured to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_f: Option<f64>,
    /// What the piece was measured to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_h: Option<f64>,
    /// How far that is from the printed value, as a part of it.
    pub deviation: Option<f64>,
    /// What the user wrote about it.
    pub note: String,
    /// Line of the file it begins on, from 1.
    pub line: usize,
    /// What a capacitor is made of, for people.
    #[serde(skip)]
    pub dielectric_label: Option<&'static str>,
    /// Printed value or name, for people.
    #[serde(skip)]
    pub label: String,
    /// Measured value, for people.
    #[serde(skip)]
    pub measured_label: Option<String>,
}

/// The outcome of stocktaking (format `narrows stock 1`).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StockOutcome {
    /// Always `narrows stock 1`.
    pub format: &'static str,
    /// What was changed, in words, in the order of the changes.
    pub changed: Vec<String>,
    /// Pieces in all.
    pub pieces: usize,
    /// The rows after the changes, by kind and value.
    pub parts: Vec<StockRow>,
    /// What is doubtful.
    pub findings: Vec<Finding>,
    /// The text of the file after the changes.
    #[serde(skip)]
    pub text: String,
}

/// Lists and checks a drawer, after making the changes asked for.
///
/// # Errors
/// Complaints about the file or about a change; nothing of a list of changes is made unless
/// all can be.
pub fn stock(request: &StockRequest) -> Result<StockOutcome, Refusal> {
    let mut text = request.text.clone();
    // The file's own slips come first, so that they are not blamed on a change.
    let mut drawer = Drawer::read(&request.name, &text)?;
    let mut changed = Vec::new();
    for slip in &request.slips {
        let slip = DrawerSlip::read(slip.change, &slip.name, &slip.words)?;
        let edited = edit_drawer(&request.name, &text, &slip)?;
        changed.push(edited.done);
        text = edited.text;
    }
    if !request.slips.is_empty() {
        drawer = Drawer::read(&request.name, &text)?;
    }
    let findings = stocktaking::all(&drawer);
    let pieces = drawer.pieces();
    let mut parts = drawer.parts;
    parts.sort_by(|a, b| {
        let by_kind = place(&a.item).cmp(&place(&b.item));
        let value = |p: &DrawerPart| p.item.printed().unwrap_or(0.0);
        by_kind
            .then(value(a).total_cmp(&value(b)))
            .then(a.item.name().cmp(&b.item.name()))
            .then(a.line.cmp(&b.line))
    });
    Ok(StockOutcome {
        format: "narrows stock 1",
        changed,
        pieces,
        parts: parts.into_iter().map(row).collect(),
        findings,
        text,
    })
}

/// Kinds in the order of the list.
fn place(item: &DrawerItem) -> usize {
    match item {
        DrawerItem::Resistor { .. } => 0,
        DrawerItem::Capacitor { .. } => 1,
        DrawerItem::Inductor { .. } => 2,
        DrawerItem::Pot { .. } => 3,
        DrawerItem::Opamp { .. } | DrawerItem::UnknownOpamp { .. } => 4,
        DrawerItem::Other { .. } => 5,
    }
}

fn row(part: DrawerPart) -> StockRow {
    let item = &part.item;
    let (ohm, farad, henry) = match item {
        DrawerItem::Resistor { .. } | DrawerItem::Pot { .. } => (true, false, false),
        DrawerItem::Capacitor { .. } => (false, true, false),
        DrawerItem::Inductor { .. } => (false, false, true),
        _ => (false, false, false),
    };
    let (printed, measured) = (item.printed(), item.measured());
    let dielectric = item.dielectric().filter(|d| *d != Dielectric::Unknown);
    StockRow {
        kind: item.kind(),
        value_ohm: printed.filter(|_| ohm),
        value_f: printed.filter(|_| farad),
        value_h: printed.filter(|_| henry),
        name: item.name().map(str::to_owned),
        tolerance: part.tolerance.map(Quantity::si),
        dielectric: dielectric.map(Dielectric::word),
        quantity: part.quantity,
        measured_ohm: measured.filter(|_| ohm),
        measured_f: measured.filter(|_| farad),
        measured_h: measured.filter(|_| henry),
        deviation: part.deviation(),
        dielectric_label: dielectric.map(Dielectric::code),
        label: item.label(),
        measured_label: item.measured_label(),
        line: part.line,
        note: part.note,
    }
}
