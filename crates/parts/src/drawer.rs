//! The drawer: what parts a user has, read from a CSV file.
//!
//! Columns: `kind`, `value`, `tolerance`, `dielectric`, `quantity`, `measured`, `note`, in
//! any order; only `kind` and `value` must be there. Cells are separated by commas, or by
//! semicolons or tabs if the heading is. Lines that begin with `#` are comments. A row with
//! a measured value is one part.

use document::{Complaints, Objection, nearest};
use units::{Farads, Henries, Ohms, Quantity, Ratio};

use crate::drawer_rows::{Cell, Heading, Row, each_row};
use crate::{Dielectric, OpampModel, find_opamp};

/// What lies in one compartment.
#[derive(Debug, Clone, PartialEq)]
pub enum DrawerItem {
    /// Resistors.
    Resistor {
        /// What is printed on them.
        value: Ohms,
        /// What one was measured to be.
        measured: Option<Ohms>,
    },
    /// Capacitors.
    Capacitor {
        /// What is printed on them.
        value: Farads,
        /// What they are made of.
        dielectric: Dielectric,
        /// What one was measured to be.
        measured: Option<Farads>,
    },
    /// Inductors.
    Inductor {
        /// What is printed on them.
        value: Henries,
        /// What one was measured to be.
        measured: Option<Henries>,
    },
    /// Potentiometers.
    Pot {
        /// Resistance end to end.
        value: Ohms,
    },
    /// Op-amp packages.
    Opamp {
        /// The type.
        model: &'static OpampModel,
    },
    /// Op-amp packages of a type that the parts data do not have: they lie there, but
    /// nothing can be worked out with them.
    UnknownOpamp {
        /// What is printed on them.
        name: String,
    },
    /// Anything else, by name: diodes, sockets.
    Other {
        /// What it is.
        name: String,
    },
}

/// One row of the drawer.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawerPart {
    /// What it is.
    pub item: DrawerItem,
    /// Tolerance, if stated.
    pub tolerance: Option<Ratio>,
    /// How many there are; 1 where nothing is written.
    pub quantity: usize,
    /// What the user wrote about it.
    pub note: String,
    /// Line of the file it begins on, from 1.
    pub line: usize,
}

/// What a user has in stock, in the order of the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drawer {
    /// The rows.
    pub parts: Vec<DrawerPart>,
}

/// The columns there are.
pub(crate) const COLUMNS: [&str; 7] = [
    "kind",
    "value",
    "tolerance",
    "dielectric",
    "quantity",
    "measured",
    "note",
];

const KINDS: [&str; 6] = ["resistor", "capacitor", "inductor", "pot", "opamp", "other"];

/// Greatest quantity that is believed.
pub(crate) const MOST: usize = 100_000;

/// A measured value may be this much more or less than the printed one before one of
/// them is taken for a slip: the widest tolerance mark (−20 % +80 %) and some age.
const MEASURED_WITHIN: f64 = 2.5;

impl Drawer {
    /// Reads a drawer file.
    ///
    /// # Errors
    /// All complaints, each pointing at its cell.
    pub fn read(name: &str, text: &str) -> Result<Drawer, Complaints> {
        let mut complaints = Complaints::new(name, text);
        let mut parts = Vec::new();
        let heading = each_row(text, &mut complaints, |row, complaints| {
            parts.extend(part(&row, complaints));
        });
        complaints.or(heading.map(|_| Drawer { parts }))
    }

    /// How many pieces there are of everything.
    #[must_use]
    pub fn pieces(&self) -> usize {
        self.parts.iter().map(|p| p.quantity).sum()
    }
}

/// A drawer with the place of every row, for those who change the text.
pub(crate) fn read_with_places(
    name: &str,
    text: &str,
) -> Result<(Heading, Vec<(DrawerPart, Row)>), Complaints> {
    let mut complaints = Complaints::new(name, text);
    let mut rows = Vec::new();
    let heading = each_row(text, &mut complaints, |row, complaints| {
        if let Some(part) = part(&row, complaints) {
            rows.push((part, row));
        }
    });
    complaints.or(heading.map(|heading| (heading, rows)))
}

/// One part; `None` after a complaint.
pub(crate) fn part(row: &Row, complaints: &mut Complaints) -> Option<DrawerPart> {
    let quantity = quantity(row, complaints);
    let tolerance = optional::<Ratio>(row, "tolerance", complaints);
    let item = item(row, complaints);
    if row.cell("measured").is_some() && quantity.is_some_and(|q| q != 1) {
        let cell = row.cell_or_row("quantity");
        complaints.push(
            Objection::new(
                format!("{} parts with one measured value", cell.text),
                "1 where a measured value stands",
                "give every measured part a row of its own",
            )
            .at(cell.span),
        );
        return None;
    }
    if let Some(tolerance) = tolerance?.filter(|t| t.0 <= 0.0 || t.0 > 1.0) {
        let cell = row.cell_or_row("tolerance");
        let found = format!("a tolerance of {tolerance}");
        let objection = Objection::new(found, "above 0 % up to 100 %", "write 5 % or leave it out");
        complaints.push(objection.at(cell.span));
        return None;
    }
    Some(DrawerPart {
        item: item?,
        tolerance: tolerance?,
        quantity: quantity?,
        note: row.cell("note").map(|c| c.text).unwrap_or_default(),
        line: row.line,
    })
}

fn item(row: &Row, complaints: &mut Complaints) -> Option<DrawerItem> {
    let kind = row.required("kind", "resistor", complaints);
    let value = row.required("value", "4k7", complaints);
    let (kind, value) = (kind?, value?);
    let word = kind.text.to_lowercase();
    if word != "capacitor" {
        refuse_dielectric(row, complaints)?;
    }
    if !matches!(word.as_str(), "resistor" | "capacitor" | "inductor") {
        refuse_measured(row, complaints)?;
    }
    match word.as_str() {
        "resistor" => {
            let (value, measured) = measured(row, &value, complaints)?;
            Some(DrawerItem::Resistor { value, measured })
        }
        "inductor" => {
            let (value, measured) = measured(row, &value, complaints)?;
            Some(DrawerItem::Inductor { value, measured })
        }
        "capacitor" => capacitor(row, &value, complaints),
        "pot" => {
            let value = positive(&value, complaints)?;
            Some(DrawerItem::Pot { value })
        }
        "opamp" => Some(match find_opamp(&value.text) {
            Ok(model) => DrawerItem::Opamp { model },
            Err(_) => DrawerItem::UnknownOpamp { name: value.text },
        }),
        "other" => Some(DrawerItem::Other { name: value.text }),
        _ => refuse(unknown_kind(&kind.text), &kind, complaints),
    }
}

fn capacitor(row: &Row, value: &Cell, complaints: &mut Complaints) -> Option<DrawerItem> {
    let dielectric = match row.cell("dielectric") {
        None => Some(Dielectric::Unknown),
        Some(cell) => match cell.text.parse() {
            Ok(dielectric) => Some(dielectric),
            Err(objection) => refuse(objection, &cell, complaints),
        },
    };
    let (value, measured) = measured(row, value, complaints)?;
    Some(DrawerItem::Capacitor {
        value,
        dielectric: dielectric?,
        measured,
    })
}

/// The printed and the measured value, which must be near to each other.
fn measured<Q: Quantity>(
    row: &Row,
    value: &Cell,
    complaints: &mut Complaints,
) -> Option<(Q, Option<Q>)> {
    let value = positive::<Q>(value, complaints);
    let Some(cell) = row.cell("measured") else {
        return Some((value?, None));
    };
    let measured = positive::<Q>(&cell, complaints)?;
    let value = value?;
    let ratio = measured.si() / value.si();
    if !(1.0 / MEASURED_WITHIN..=MEASURED_WITHIN).contains(&ratio) {
        let objection = Objection::new(
            format!("{measured} measured on a part of {value}"),
            "a measured value near the printed one",
            "check the prefix of both; if the part is that far off, do not build with it",
        );
        return refuse(objection, &cell, complaints);
    }
    Some((value, Some(measured)))
}

fn quantity(row: &Row, complaints: &mut Complaints) -> Option<usize> {
    let Some(cell) = row.cell("quantity") else {
        return Some(1);
    };
    let number = cell.text.parse().ok().filter(|n| *n <= MOST);
    number.or_else(|| {
        let objection = Objection::new(
            format!("the quantity \"{}\"", cell.text),
            format!("a whole number from 0 to {MOST}"),
            "write how many there are",
        );
        refuse(objection, &cell, complaints)
    })
}

/// The quantity in a cell that may be empty: `Some(None)` when it is.
fn optional<Q: Quantity>(
    row: &Row,
    column: &str,
    complaints: &mut Complaints,
) -> Option<Option<Q>> {
    match row.cell(column) {
        None => Some(None),
        Some(cell) => parse(&cell, complaints).map(Some),
    }
}

fn positive<Q: Quantity>(cell: &Cell, complaints: &mut Complaints) -> Option<Q> {
    let value = parse::<Q>(cell, complaints)?;
    if value.si() > 0.0 {
        return Some(value);
    }
    let objection = Objection::new(
        value.to_string(),
        format!("{} above zero", Q::NAME),
        format!("write it like {}", Q::SPELLING.example()),
    );
    refuse(objection, cell, complaints)
}

fn parse<Q: Quantity>(cell: &Cell, complaints: &mut Complaints) -> Option<Q> {
    match Q::parse(&cell.text) {
        Ok(value) => Some(value),
        Err(misread) => {
            let within = cell.part(&misread.span);
            complaints.push(Objection::from(misread).at(within));
            None
        }
    }
}

fn refuse_dielectric(row: &Row, complaints: &mut Complaints) -> Option<()> {
    let Some(cell) = row.cell("dielectric") else {
        return Some(());
    };
    let objection = Objection::new(
        format!("the dielectric \"{}\" on a part that has none", cell.text),
        "a dielectric on capacitors only",
        "leave the cell empty",
    );
    refuse(objection, &cell, complaints)
}

fn refuse_measured(row: &Row, complaints: &mut Complaints) -> Option<()> {
    let Some(cell) = row.cell("measured") else {
        return Some(());
    };
    let objection = Objection::new(
        format!("the measured value \"{}\"", cell.text),
        "a measured value on resistors, capacitors and inductors only",
        "leave the cell empty, or move it to the note",
    );
    refuse(objection, &cell, complaints)
}

fn unknown_kind(kind: &str) -> Objection {
    let advice = match nearest(kind, KINDS) {
        Some(meant) => format!("write {meant}"),
        None => "write other if it is none of them".to_owned(),
    };
    Objection::new(format!("the kind \"{kind}\""), KINDS.join(", "), advice)
}

fn refuse<T>(objection: Objection, cell: &Cell, complaints: &mut Complaints) -> Option<T> {
    complaints.push(objection.at(cell.span.clone()));
    None
}
