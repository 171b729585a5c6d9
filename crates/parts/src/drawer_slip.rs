//! A slip of paper that says what changes in the drawer: `resistor 4k7 1 % x20`.
//!
//! Its words are those of a row, in the order in which one would say them: kind, value, then
//! tolerance, dielectric, `x` and a quantity, `is` and a measured value, and `note` with
//! whatever follows. `no tolerance` and `no dielectric` mean a row that states none, where one
//! that states one stands beside it. A slip is read by the rules of a row, so that what is refused in the file
//! is refused on the slip, with the same words.

use std::ops::Range;

use document::{Complaints, Objection};

use crate::drawer::part;
use crate::drawer_rows::{Cell, Row};
use crate::{Dielectric, DrawerPart};

/// What a slip asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DrawerChange {
    /// Put pieces in.
    Add,
    /// One piece was measured.
    Measured,
    /// Pieces were counted.
    Count,
    /// Take pieces out.
    Take,
}

/// A slip that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawerSlip {
    /// What it asks for.
    pub change: DrawerChange,
    /// The part it names.
    pub part: DrawerPart,
    /// Its words by column, for those who write a row from it.
    pub(crate) words: Vec<(&'static str, String)>,
    /// The columns that it says are empty.
    denied: Vec<&'static str>,
    /// What it is called where it is complained of.
    name: String,
    text: String,
}

impl DrawerSlip {
    /// Reads a slip; `name` is what it is called in complaints (`--add`).
    ///
    /// # Errors
    /// All complaints, each pointing at its words.
    pub fn read(change: DrawerChange, name: &str, text: &str) -> Result<DrawerSlip, Complaints> {
        let mut complaints = Complaints::new(name, text);
        let row = row(text, &mut complaints);
        let part = part(&row, &mut complaints);
        if complaints.is_empty()
            && let Some(objection) = lacks(change, &row)
        {
            complaints.push(objection.at(0..text.len()));
        }
        let denied = denied(&row, &mut complaints);
        let mut words = row.words();
        words.retain(|(column, _)| !DENIALS.iter().any(|(denial, _)| denial == column));
        complaints.or(part.map(|part| DrawerSlip {
            change,
            part,
            words,
            denied,
            name: name.to_owned(),
            text: text.to_owned(),
        }))
    }

    /// A complaint about the slip as a whole.
    pub(crate) fn refuse(&self, objection: Objection) -> Complaints {
        let mut complaints = Complaints::new(&self.name, &self.text);
        complaints.push(objection.at(0..self.text.len()));
        complaints
    }

    /// Whether the slip says anything of a column.
    pub(crate) fn states(&self, column: &str) -> bool {
        self.words.iter().any(|(name, _)| *name == column)
    }

    /// Whether the slip says that a row states nothing in that column.
    pub(crate) fn denies(&self, column: &str) -> bool {
        self.denied.contains(&column)
    }
}

/// Words that say that a column is empty, with the column.
const DENIALS: [(&str, &str); 2] = [
    ("no tolerance", "tolerance"),
    ("no dielectric", "dielectric"),
];

/// The columns that the slip says are empty.
fn denied(row: &Row, complaints: &mut Complaints) -> Vec<&'static str> {
    let mut denied = Vec::new();
    for (denial, column) in DENIALS {
        let Some(cell) = row.cell(denial) else {
            continue;
        };
        let found = if row.cell(column).is_some() {
            format!("a {column} and the words {denial}")
        } else if !cell.text.eq_ignore_ascii_case(column) {
            format!("more words after {denial}: no {}", cell.text)
        } else {
            denied.push(column);
            continue;
        };
        let allowed = format!("a {column}, or the words {denial}");
        complaints.push(Objection::new(found, allowed, "take one of them out").at(cell.span));
    }
    denied
}

/// What the change wants said that the slip does not say.
fn lacks(change: DrawerChange, row: &Row) -> Option<Objection> {
    let count = row.cell("quantity").map(|cell| cell.text);
    let measured = row.cell("measured").is_some();
    match (change, count.as_deref()) {
        (DrawerChange::Add | DrawerChange::Take, Some("0")) => Some(Objection::new(
            "no pieces",
            "one or more",
            "write x and how many, or leave it out for one",
        )),
        (DrawerChange::Count, _) if measured => Some(Objection::new(
            "a count of measured pieces",
            "a count of pieces that were not measured",
            "every measured piece is a row of its own: add it, or take it out",
        )),
        (DrawerChange::Count, None) => Some(Objection::new(
            "no quantity",
            "x and a whole number",
            "write how many there are: resistor 4k7 x20",
        )),
        (DrawerChange::Measured, _) if !measured => Some(Objection::new(
            "no measured value",
            "is and what was measured",
            "write it like capacitor 10n is 10.12n",
        )),
        _ => None,
    }
}

/// One word of a slip and its bytes.
type Word<'t> = (&'t str, Range<usize>);

fn words(text: &str) -> Vec<Word<'_>> {
    text.split_whitespace()
        .map(|word| {
            let start = word.as_ptr() as usize - text.as_ptr() as usize;
            (word, start..start + word.len())
        })
        .collect()
}

/// The column that the word at this place begins, with the number of words that only announce it.
fn begins(words: &[Word<'_>], at: usize) -> Option<(&'static str, usize)> {
    let word = words[at].0;
    let lower = word.to_lowercase();
    let percent = |w: &str| w.ends_with('%');
    let next_is_percent = words.get(at + 1).is_some_and(|(next, _)| *next == "%");
    let number = word.starts_with(|c: char| c.is_ascii_digit() || "±+-.".contains(c));
    match lower.as_str() {
        "is" => Some(("measured", 1)),
        "no" => {
            let next = words.get(at + 1)?.0;
            let mut denials = DENIALS.iter();
            let denial = denials.find(|(_, column)| next.eq_ignore_ascii_case(column));
            denial.map(|(denial, _)| (*denial, 1))
        }
        "note" => Some(("note", 1)),
        _ if number && (percent(word) || next_is_percent) => Some(("tolerance", 0)),
        _ if quantity(&lower) => Some(("quantity", 0)),
        _ if dielectric(words, at) => Some(("dielectric", 0)),
        _ => None,
    }
}

/// Whether a word names a dielectric, by itself or with the next one.
fn dielectric(words: &[Word<'_>], at: usize) -> bool {
    let both = words
        .get(at + 1)
        .map(|(next, _)| format!("{} {next}", words[at].0));
    let named = |w: &str| w.parse::<Dielectric>().is_ok();
    named(words[at].0) || both.is_some_and(|both| named(&both))
}

/// Whether a word is an `x` and a number.
fn quantity(word: &str) -> bool {
    let digits = word.strip_prefix(['x', '×']);
    digits.is_some_and(|d| !d.is_empty() && d.bytes().all(|b| b.is_ascii_digit()))
}

/// The slip as a row.
fn row(text: &str, complaints: &mut Complaints) -> Row {
    let words = words(text);
    let mut cells: Vec<(&'static str, Range<usize>)> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let (column, skipped) = match at {
            0 => ("kind", 0),
            1 => ("value", 0),
            _ => begins(&words, at).unwrap_or(("", 0)),
        };
        let first = (at + skipped).min(words.len() - 1);
        let span = words[first].1.clone();
        match (column, cells.last_mut()) {
            // What begins nothing belongs to what came before it: the unit of a value.
            ("", Some((_, last))) | ("dielectric", Some(("dielectric", last))) => {
                last.end = span.end;
            }
            _ => cells.push((column, span)),
        }
        at = first + 1;
        if column == "note" {
            let (_, note) = cells.last_mut().expect("the note was just put there");
            note.end = words[words.len() - 1].1.end;
            break;
        }
    }
    let mut row = Row::of_slip(text.len());
    for (column, span) in cells {
        let x = if column == "quantity" {
            text[span.clone()].chars().next().map_or(0, char::len_utf8)
        } else {
            0
        };
        let span = span.start + x..span.end;
        if row.cell(column).is_some() {
            let objection = Objection::new(
                format!("the {column} twice"),
                "every word of a row once",
                "take one of them out",
            );
            complaints.push(objection.at(span));
            continue;
        }
        row.put(column, Cell::plain(&text[span.clone()], span));
    }
    row
}
