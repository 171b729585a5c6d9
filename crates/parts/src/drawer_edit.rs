//! Changing the text of a drawer without touching what is not changed.
//!
//! A change replaces cells, puts one row in or takes one out; all other bytes, comments,
//! order, quoting, separators and line ends, stay as they are. What a row would need and the
//! file has no column for is put into a column added at the end of the heading; rows above
//! stay as they are, since a row may be shorter than its heading.
//!
//! * `add` raises the quantity of the row that holds the very same parts, or puts a row after
//!   the last of its kind; a measured piece always gets a row of its own. Where the slip leaves
//!   out a tolerance or dielectric that the row of such parts states, it is refused: a second
//!   row that differs by an empty cell is hardly ever meant. `no tolerance` makes it.
//! * `measured` takes one piece from its row and puts it into a row of its own below. A note
//!   of the heap is not one of the piece; a row with one piece in it keeps its note.
//! * `count` sets a quantity; of several rows of the same parts the first gets it, the others
//!   get 0, so that no note is lost. `take` lowers it, to 0 at the least: the row stays, as the
//!   compartment does. A measured piece that is taken goes with its row.
//!
//! A slip that could mean parts of several sorts is refused, and the sorts named.

use std::ops::Range;

use document::{Complaints, Objection};

use crate::DrawerPart;
use crate::drawer::read_with_places;
use crate::drawer_rows::{Heading, Row};
use crate::drawer_slip::{DrawerChange, DrawerSlip};
use crate::drawer_words::near;

/// A drawer's text after a change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawerEdited {
    /// The whole text.
    pub text: String,
    /// What was done, in words.
    pub done: String,
}

/// The text of a drawer after the change that a slip asks for.
///
/// # Errors
/// Complaints about the drawer, or about the slip where the drawer has not what it names.
pub fn edit_drawer(name: &str, text: &str, slip: &DrawerSlip) -> Result<DrawerEdited, Complaints> {
    let (heading, rows) = read_with_places(name, text)?;
    let mut page = Page {
        text,
        heading,
        rows,
        added: Vec::new(),
        changes: Vec::new(),
    };
    let done = match slip.change {
        DrawerChange::Add => page.add(slip),
        DrawerChange::Measured => page.measured(slip),
        DrawerChange::Count => page.count(slip),
        DrawerChange::Take => page.take(slip),
    };
    let done = done.map_err(|objection| slip.refuse(objection))?;
    let text = page.written();
    Ok(DrawerEdited { text, done })
}

/// A drawer's text taken apart, and what is to be replaced in it.
struct Page<'t> {
    text: &'t str,
    heading: Heading,
    rows: Vec<(DrawerPart, Row)>,
    /// Columns the heading gets.
    added: Vec<&'static str>,
    /// Bytes and what stands there instead; they do not overlap.
    changes: Vec<(Range<usize>, String)>,
}

impl Page<'_> {
    fn add(&mut self, slip: &DrawerSlip) -> Result<String, Objection> {
        let part = &slip.part;
        let measured = slip.states("measured");
        let alike = |known: &DrawerPart| {
            known.tolerance == part.tolerance
                && known.item.alike(&part.item)
                && known.item.measured().is_none()
                && (!slip.states("note") || known.note == part.note)
        };
        if !measured {
            self.refuse_half_said(slip)?;
        }
        let same = self.rows.iter().position(|(known, _)| alike(known));
        match same.filter(|_| !measured) {
            Some(row) => {
                let now = self.rows[row].0.quantity + part.quantity;
                self.set_quantity(row, now)
            }
            None => {
                self.put_in(slip);
                Ok(format!("added {} × {}", part.quantity, part))
            }
        }
    }

    /// Refuses a slip that leaves open whether it means the parts of a row or others of the
    /// same value.
    fn refuse_half_said(&self, slip: &DrawerSlip) -> Result<(), Objection> {
        let part = &slip.part;
        let same = |known: &DrawerPart| {
            known.tolerance == part.tolerance && known.item.dielectric() == part.item.dielectric()
        };
        let heaps = self.rows.iter().map(|(known, _)| known);
        let mut heaps = heaps.filter(|k| fits(k, slip) && k.item.measured().is_none());
        match heaps.next() {
            Some(known) if !same(known) && !heaps.any(same) => Err(Objection::new(
                format!(
                    "{}, and {} in line {}",
                    part.plain(),
                    known.plain(),
                    known.line
                ),
                "as much as that row says, or that this is another sort",
                format!(
                    "say \"{}\" to put them there, or \"{}\" for a row of their own",
                    known.plain(),
                    part.told_from(known)
                ),
            )),
            _ => Ok(()),
        }
    }

    fn measured(&mut self, slip: &DrawerSlip) -> Result<String, Objection> {
        let rows = self.one_sort(slip)?;
        let stocked = rows.into_iter().find(|&row| self.rows[row].0.quantity > 0);
        let Some(row) = stocked else {
            return Err(Objection::new(
                format!("no {} left that was not measured", slip.part.plain()),
                "a piece that lies in the drawer",
                "add it as a measured piece instead: --add with the same words",
            ));
        };
        let quantity = self.rows[row].0.quantity;
        let said = slip.words.iter().cloned();
        let said = said.filter(|(column, _)| ["measured", "note"].contains(column));
        let one = ("quantity", "1".to_owned());
        let mut measured: Vec<(&'static str, String)> = std::iter::once(one).chain(said).collect();
        let done = format!("one measured: {}", slip.part);
        let note = self.rows[row].0.note.clone();
        let notes = !note.is_empty() && !slip.states("note");
        if quantity == 1 {
            self.replace(row, &measured[1..]);
            if notes {
                return Ok(format!(
                    "{done}; it was the last of its row and keeps the note: {note}"
                ));
            }
        } else {
            if notes {
                measured.push(("note", String::new()));
            }
            let fresh = self.row_with(row, &measured);
            self.set_quantity(row, quantity - 1)?;
            self.insert_after(row, &fresh);
        }
        Ok(done)
    }

    fn count(&mut self, slip: &DrawerSlip) -> Result<String, Objection> {
        match *self.one_sort(slip)?.as_slice() {
            [row] => self.set_quantity(row, slip.part.quantity),
            [] => Err(self.none_such(slip)),
            [first, ref others @ ..] => {
                let there = |row: &usize| self.rows[*row].0.quantity;
                let before = there(&first) + others.iter().map(there).sum::<usize>();
                let known = &self.rows[first].0;
                let (part, line) = (known.plain(), known.line);
                let lines: Vec<String> = others
                    .iter()
                    .map(|&row| self.rows[row].0.line.to_string())
                    .collect();
                let counted = slip.part.quantity;
                self.set_quantity(first, counted)?;
                for &row in others {
                    self.set_quantity(row, 0)?;
                }
                Ok(format!(
                    "{part}: {before} in {} rows → {counted}, all of them now in line {line}; 0 in \
                     line {}",
                    others.len() + 1,
                    lines.join(", ")
                ))
            }
        }
    }

    fn take(&mut self, slip: &DrawerSlip) -> Result<String, Objection> {
        if let Some(measured) = slip.part.item.measured() {
            let piece = self.rows.iter().position(|(known, _)| {
                fits(known, slip) && known.item.measured().is_some_and(|m| near(m, measured))
            });
            let row = piece.ok_or_else(|| self.none_such(slip))?;
            self.remove(row);
            return Ok(format!("taken: {}", slip.part));
        }
        let rows = self.one_sort(slip)?;
        let there: usize = rows.iter().map(|&row| self.rows[row].0.quantity).sum();
        let mut wanted = slip.part.quantity;
        if there < wanted {
            return Err(Objection::new(
                format!("{wanted} asked for and {there} there"),
                format!("at most {there} {}", slip.part.plain()),
                "take fewer; a measured piece is taken by its value: capacitor 10n is 10.12n",
            ));
        }
        for row in rows {
            let taken = wanted.min(self.rows[row].0.quantity);
            wanted -= taken;
            if taken > 0 {
                self.set_quantity(row, self.rows[row].0.quantity - taken)?;
            }
        }
        let left = there - slip.part.quantity;
        let (quantity, part) = (slip.part.quantity, slip.part.plain());
        Ok(format!("taken: {quantity} × {part}, {left} left"))
    }

    /// The rows of parts that were not measured and that the slip can mean: all of one sort.
    fn one_sort(&self, slip: &DrawerSlip) -> Result<Vec<usize>, Objection> {
        let rows: Vec<usize> = (0..self.rows.len())
            .filter(|&row| fits(&self.rows[row].0, slip))
            .filter(|&row| self.rows[row].0.item.measured().is_none())
            .collect();
        let Some(&first) = rows.first() else {
            return Err(self.none_such(slip));
        };
        let first = &self.rows[first].0;
        let other = rows
            .iter()
            .map(|&row| &self.rows[row].0)
            .find(|part| part.tolerance != first.tolerance || !part.item.alike(&first.item));
        match other {
            None => Ok(rows),
            Some(other) => Err(Objection::new(
                format!(
                    "several sorts: {first} in line {} and {other} in line {}",
                    first.line, other.line
                ),
                "one of them",
                format!(
                    "say \"{}\" or \"{}\"",
                    first.told_from(other),
                    other.told_from(first)
                ),
            )),
        }
    }

    fn none_such(&self, slip: &DrawerSlip) -> Objection {
        if let Some(objection) = self.all_measured(slip) {
            return objection;
        }
        let kind = slip.part.item.kind();
        let of_kind = self.rows.iter().filter(|(p, _)| p.item.kind() == kind);
        let allowed = match of_kind.count() {
            0 => format!("a kind that is there; no row is of kind {kind}"),
            1 => format!("its one row of kind {kind}"),
            rows => format!("one of its {rows} rows of kind {kind}"),
        };
        Objection::new(
            format!("no {} in the drawer", slip.part),
            allowed,
            "narrows stock without options lists what there is; --add puts a new row in",
        )
    }

    /// What to say where all the pieces that the slip can mean were measured.
    fn all_measured(&self, slip: &DrawerSlip) -> Option<Objection> {
        let known = self.rows.iter().map(|(known, _)| known);
        let pieces = known.filter(|k| fits(k, slip) && k.item.measured().is_some());
        let values: Vec<String> = pieces.filter_map(|k| k.item.measured_label()).collect();
        let first = values.first()?;
        let count = values.len();
        let what = format!("{} {}", slip.part.item.kind(), slip.part.item.label());
        let found = match slip.part.item.measured() {
            Some(_) => format!("no {} in the drawer; {count} {what} there", slip.part),
            None => format!("{}: {count} there, all measured", slip.part.plain()),
        };
        let most = 12;
        let mut listed = values[..count.min(most)].join(", ");
        if count > most {
            listed += ", …";
        }
        let advice = match slip.change {
            DrawerChange::Take => {
                format!("take one by its measured value: \"{what} is {first}\"; there are {listed}")
            }
            DrawerChange::Count => {
                "a measured piece is a row of its own: take out by its measured \
                                    value what is not there, add what is not yet listed"
                    .to_owned()
            }
            DrawerChange::Add | DrawerChange::Measured => {
                format!("those there are {listed}; one not yet listed is put in with --add")
            }
        };
        Some(Objection::new(found, "one that is there", advice))
    }

    fn set_quantity(&mut self, row: usize, quantity: usize) -> Result<String, Objection> {
        if quantity > crate::drawer::MOST {
            return Err(Objection::new(
                format!("{quantity} pieces in one row"),
                format!("at most {}", crate::drawer::MOST),
                "write another row for the rest",
            ));
        }
        let part = &self.rows[row].0;
        let done = format!("{}: {} → {quantity}", part.plain(), part.quantity);
        self.replace(row, &[("quantity", quantity.to_string())]);
        Ok(done)
    }

    /// Column of that name, counted from 0; the heading gets it if it has none.
    fn column(&mut self, name: &'static str) -> usize {
        let all = self.heading.columns.iter().chain(&self.added);
        let known = all.copied().position(|c| c == name);
        known.unwrap_or_else(|| {
            self.added.push(name);
            self.heading.columns.len() + self.added.len() - 1
        })
    }

    fn replace(&mut self, row: usize, cells: &[(&'static str, String)]) {
        let fresh = self.row_with(row, cells);
        let span = self.rows[row].1.span.clone();
        self.changes.push((span, fresh));
    }

    /// The text of a row with other contents in some of its cells.
    fn row_with(&mut self, row: usize, cells: &[(&'static str, String)]) -> String {
        let mut texts: Vec<String> = {
            let spans = self.rows[row].1.spans.iter();
            spans
                .map(|span| self.text[span.clone()].to_owned())
                .collect()
        };
        for (name, content) in cells {
            let column = self.column(name);
            if texts.len() <= column {
                texts.resize(column + 1, String::new());
            }
            texts[column] = match content.as_str() {
                "" => String::new(),
                content => self.cell_like(&texts[column], content),
            };
        }
        texts.join(&self.heading.separator.to_string())
    }

    /// A cell with that content, with the space and quotes of the one it replaces.
    fn cell_like(&self, old: &str, content: &str) -> String {
        if old.starts_with('"') {
            return quoted(content);
        }
        let core = old.trim();
        let before = old.len() - old.trim_start().len();
        let (head, tail) = match core {
            "" => ("", ""),
            _ => (&old[..before], &old[before + core.len()..]),
        };
        format!("{head}{}{tail}", self.cell(content))
    }

    /// A cell of that content, in quotes where it needs them.
    fn cell(&self, content: &str) -> String {
        let awkward = |c: char| c == self.heading.separator || "\"\r\n".contains(c);
        if content.contains(awkward) || content.starts_with('#') || content.trim() != content {
            quoted(content)
        } else {
            content.to_owned()
        }
    }

    /// Puts in a row that says what the slip says, after the last row of its kind.
    fn put_in(&mut self, slip: &DrawerSlip) {
        for (name, text) in &slip.words {
            // One piece is what a row without a quantity holds.
            if *name != "quantity" || text != "1" {
                self.column(name);
            }
        }
        let columns = self.heading.columns.iter().chain(&self.added).copied();
        let content = |name: &str| {
            let word = slip.words.iter().find(|(column, _)| *column == name);
            match (word, name) {
                (Some((_, text)), _) => self.cell(text),
                (None, "quantity") => "1".to_owned(),
                (None, _) => String::new(),
            }
        };
        let cells: Vec<String> = columns.map(content).collect();
        let fresh = cells.join(&self.heading.separator.to_string());
        let kind = slip.part.item.kind();
        let last = self.rows.iter().rposition(|(p, _)| p.item.kind() == kind);
        match last {
            Some(row) => self.insert_after(row, &fresh),
            None => self.append(&fresh),
        }
    }

    fn insert_after(&mut self, row: usize, fresh: &str) {
        let end = self.rows[row].1.span.end;
        let line = format!("{}{fresh}", self.line_end());
        self.changes.push((end..end, line));
    }

    /// Puts a row at the very end of the file, which keeps its last line end, or its want of one.
    fn append(&mut self, fresh: &str) {
        let (end, line_end) = (self.text.len(), self.line_end());
        let ends_a_line = self.text.ends_with(['\n', '\r']);
        let line = match ends_a_line {
            true => format!("{fresh}{line_end}"),
            false => format!("{line_end}{fresh}"),
        };
        self.changes.push((end..end, line));
    }

    /// Takes a row out together with its line end, or the one before it where it is the last.
    fn remove(&mut self, row: usize) {
        let Range { mut start, mut end } = self.rows[row].1.span.clone();
        let after = line_end_at(&self.text[end..]);
        end += after.len();
        if after.is_empty() {
            let before = &self.text[..start];
            start = before.strip_suffix('\n').map_or(start, str::len);
            start = self.text[..start]
                .strip_suffix('\r')
                .map_or(start, str::len);
        }
        self.changes.push((start..end, String::new()));
    }

    /// The line end of the heading, or of a comment above it.
    fn line_end(&self) -> &'static str {
        let after = |at: usize| Some(line_end_at(&self.text[at..])).filter(|end| !end.is_empty());
        let first = || self.text.find(['\r', '\n']).and_then(after);
        after(self.heading.span.end).or_else(first).unwrap_or("\n")
    }

    /// The text with every change made.
    fn written(mut self) -> String {
        if !self.added.is_empty() {
            let heading = &self.text[self.heading.span.clone()];
            let capital = heading
                .trim_start_matches('"')
                .starts_with(char::is_uppercase);
            let mut columns = String::new();
            for name in &self.added {
                columns.push(self.heading.separator);
                let (first, rest) = name.split_at(1);
                let first = if capital {
                    first.to_uppercase()
                } else {
                    first.to_owned()
                };
                columns += &format!("{first}{rest}");
            }
            let end = self.heading.span.end;
            // Before a row that is put in where the heading ends.
            self.changes.insert(0, (end..end, columns));
        }
        self.changes.sort_by_key(|(span, _)| (span.start, span.end));
        let mut out = String::with_capacity(self.text.len() + 80);
        let mut at = 0;
        for (span, fresh) in &self.changes {
            out += &self.text[at..span.start];
            out += fresh;
            at = span.end;
        }
        out + &self.text[at..]
    }
}

/// The line end a text begins with.
fn line_end_at(text: &str) -> &'static str {
    ["\r\n", "\n", "\r"]
        .into_iter()
        .find(|end| text.starts_with(end))
        .unwrap_or("")
}

fn quoted(content: &str) -> String {
    format!("\"{}\"", content.replace('"', "\"\""))
}

/// Whether a row holds what the slip names, as far as the slip says.
fn fits(known: &DrawerPart, slip: &DrawerSlip) -> bool {
    let part = &slip.part;
    let asked = |column| slip.states(column) || slip.denies(column);
    let dielectric = !asked("dielectric") || known.item.dielectric() == part.item.dielectric();
    let tolerance = !asked("tolerance") || known.tolerance == part.tolerance;
    dielectric && tolerance && known.item.same_print(&part.item)
}
