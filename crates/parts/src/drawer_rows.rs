//! Cells of a CSV file with their bytes, so that a complaint can point at one.
//!
//! The csv crate reads the rows; it gives where a row begins but not where its cells lie,
//! which are therefore found again in the text by walking over it with the same quoting.

use std::ops::Range;

use csv::{ReaderBuilder, StringRecord};
use document::{Complaint, Complaints, Objection, nearest};

use crate::drawer::COLUMNS;

/// One cell that is not empty.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// Its content, trimmed.
    pub(crate) text: String,
    /// Its bytes in the file.
    pub(crate) span: Range<usize>,
    /// Whether the content stands in those bytes letter for letter.
    plain: bool,
}

impl Cell {
    /// A cell whose content stands in those bytes.
    pub(crate) fn plain(text: &str, span: Range<usize>) -> Self {
        Cell {
            text: text.to_owned(),
            span,
            plain: true,
        }
    }

    /// The bytes of a part of the content; of the whole cell where that is not known.
    pub(crate) fn part(&self, part: &Range<usize>) -> Range<usize> {
        if self.plain {
            self.span.start + part.start..self.span.start + part.end
        } else {
            self.span.clone()
        }
    }
}

/// One row.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// Those that are not empty, each with its column.
    cells: Vec<(&'static str, Cell)>,
    /// The bytes of every cell, quotes and space included, in the order of the columns.
    pub(crate) spans: Vec<Range<usize>>,
    /// The bytes of the row, without its line end.
    pub(crate) span: Range<usize>,
    /// Line of the file, from 1.
    pub(crate) line: usize,
}

/// What holds for all rows.
#[derive(Debug, Clone)]
pub(crate) struct Heading {
    /// What parts the cells.
    pub(crate) separator: char,
    /// The columns, in the order of the file.
    pub(crate) columns: Vec<&'static str>,
    /// The bytes of its row, without its line end.
    pub(crate) span: Range<usize>,
}

/// Most rows that are read: a dealer's stock, some 200 MB once read (measured).
const MOST_ROWS: usize = 1_000_000;

/// Most complaints about one file: who has more has another file in hand.
const MOST_COMPLAINTS: usize = 50;

impl Row {
    /// A row with nothing in it yet, read from a slip of so many bytes.
    pub(crate) fn of_slip(length: usize) -> Self {
        Row {
            cells: Vec::new(),
            spans: Vec::new(),
            span: 0..length,
            line: 1,
        }
    }

    /// Puts a cell in.
    pub(crate) fn put(&mut self, column: &'static str, cell: Cell) {
        self.cells.push((column, cell));
    }

    /// What stands in the cells that are not empty, with their columns.
    pub(crate) fn words(&self) -> Vec<(&'static str, String)> {
        let cells = self.cells.iter();
        cells
            .map(|(column, cell)| (*column, cell.text.clone()))
            .collect()
    }

    /// The cell of a column, unless it is empty.
    pub(crate) fn cell(&self, column: &str) -> Option<Cell> {
        let cell = self.cells.iter().find(|(name, _)| *name == column);
        cell.map(|(_, cell)| cell.clone())
    }

    /// The cell of a column, or the whole row with no text.
    pub(crate) fn cell_or_row(&self, column: &str) -> Cell {
        self.cell(column).unwrap_or_else(|| Cell {
            text: String::new(),
            span: self.span.clone(),
            plain: false,
        })
    }

    /// The cell of a column that must not be empty.
    pub(crate) fn required(
        &self,
        column: &str,
        example: &str,
        complaints: &mut Complaints,
    ) -> Option<Cell> {
        let cell = self.cell(column);
        if cell.is_none() {
            let objection = Objection::new(
                format!("no {column} in this row"),
                format!("a {column} such as {example}"),
                format!("fill in the {column}, or take the row out"),
            );
            complaints.push(objection.at(self.span.clone()));
        }
        cell
    }
}

/// Gives every row under the heading to `take`, one at a time. Complaints about the heading
/// leave no heading and no rows; a row that cannot be taken apart is complained of and left out.
pub(crate) fn each_row(
    text: &str,
    complaints: &mut Complaints,
    mut take: impl FnMut(Row, &mut Complaints),
) -> Option<Heading> {
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let delimiter = delimiter(&text[start..]);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .delimiter(delimiter)
        .from_reader(&text.as_bytes()[start..]);
    let mut records = reader.records().map(|record| {
        let record = record.ok()?;
        let begin = start + usize::try_from(record.position()?.byte()).ok()?;
        let begin = skip_blank_and_comments(text, begin);
        Some((spans(text, begin, delimiter, record.len()), record))
    });
    let Some(Some((header_spans, header))) = records.next() else {
        complaints.push(no_heading().at(start..start));
        return None;
    };
    let columns = columns(&header, &header_spans, complaints)?;
    // Lines are counted on from row to row: a long file is walked over once.
    let (mut line, mut counted) = (1, 0);
    for (number, (spans, record)) in records.flatten().enumerate() {
        if let Some(complaint) = open_ended(text, &spans) {
            complaints.push(complaint);
            break;
        }
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let begin = spans.first().map_or(counted, |s| s.start);
        if let Some(objection) = too_much(number, complaints.list().len()) {
            complaints.push(objection.at(begin..begin));
            break;
        }
        line += text[counted..begin].matches('\n').count();
        counted = begin;
        if let Some(row) = row(text, &record, spans, &columns, line, complaints) {
            take(row, complaints);
        }
    }
    Some(Heading {
        separator: char::from(delimiter),
        columns,
        span: header_spans.first()?.start..header_spans.last()?.end,
    })
}

/// Why reading stops before that row, if it does.
fn too_much(row: usize, complaints: usize) -> Option<Objection> {
    if row >= MOST_ROWS {
        return Some(Objection::new(
            format!("more than {MOST_ROWS} rows"),
            format!("at most {MOST_ROWS} rows"),
            "keep in the file what lies in the drawer; equal parts share a row, with their quantity",
        ));
    }
    (complaints >= MOST_COMPLAINTS).then(|| {
        Objection::new(
            format!("{complaints} complaints above this row"),
            format!("fewer than {MOST_COMPLAINTS}"),
            "mend those first, or check that this is the right file; the rest was not read",
        )
    })
}

/// The separator of the first line that is not empty or a comment.
fn delimiter(text: &str) -> u8 {
    let heading = text
        .split(['\r', '\n'])
        .find(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .unwrap_or_default();
    [b',', b';', b'\t']
        .into_iter()
        .find(|d| heading.as_bytes().contains(d))
        .unwrap_or(b',')
}

fn no_heading() -> Objection {
    let heading = COLUMNS.join(",");
    Objection::new(
        "no heading",
        format!("a first line {heading}"),
        format!("put the line {heading} at the top"),
    )
}

/// The column each cell of a row belongs to.
fn columns(
    header: &StringRecord,
    spans: &[Range<usize>],
    complaints: &mut Complaints,
) -> Option<Vec<&'static str>> {
    let mut columns: Vec<&'static str> = Vec::new();
    let before = complaints.list().len();
    for (cell, span) in header.iter().zip(spans) {
        let wanted = cell.trim().to_lowercase();
        match COLUMNS.into_iter().find(|c| *c == wanted) {
            Some(column) if columns.contains(&column) => {
                let found = format!("the column {column} twice");
                let objection = Objection::new(found, "each column once", "take one of them out");
                complaints.push(objection.at(span.clone()));
            }
            Some(column) => columns.push(column),
            None => complaints.push(unknown_column(cell).at(span.clone())),
        }
    }
    if complaints.list().len() == before
        && let Some(missing) = ["kind", "value"].iter().find(|c| !columns.contains(c))
    {
        let all = COLUMNS.join(", ");
        let found = format!("a heading without the column {missing}");
        let advice = format!("put a heading with {missing} in the first line");
        let end = spans.last().map_or(0, |s| s.end);
        let begin = spans.first().map_or(0, |s| s.start);
        complaints.push(Objection::new(found, all, advice).at(begin..end));
    }
    (complaints.list().len() == before).then_some(columns)
}

fn unknown_column(cell: &str) -> Objection {
    let advice = match nearest(cell.trim(), COLUMNS) {
        Some(meant) => format!("write {meant}"),
        None => "take the column out, or put its content into the note".to_owned(),
    };
    let found = format!("the column \"{}\"", cell.trim());
    Objection::new(found, COLUMNS.join(", "), advice)
}

/// One row.
fn row(
    text: &str,
    record: &StringRecord,
    spans: Vec<Range<usize>>,
    columns: &[&'static str],
    line: usize,
    complaints: &mut Complaints,
) -> Option<Row> {
    let span = spans.first()?.start..spans.last()?.end;
    if let Some(extra) = spans.get(columns.len()) {
        let objection = Objection::new(
            format!("{} cells under {} columns", record.len(), columns.len()),
            format!("{} cells: {}", columns.len(), columns.join(", ")),
            "put a cell that holds the separator in double quotes",
        );
        complaints.push(objection.at(extra.start..span.end));
        return None;
    }
    let cells = record.iter().zip(&spans).zip(columns);
    let cells = cells
        .filter(|((cell, _), _)| !cell.trim().is_empty())
        .map(|((cell, span), column)| (*column, trimmed(text, cell, span)))
        .collect();
    Some(Row {
        cells,
        spans,
        span,
        line,
    })
}

/// What to say of a row that a quote keeps open to the end of the file.
fn open_ended(text: &str, spans: &[Range<usize>]) -> Option<Complaint> {
    let last = spans.last()?;
    let objection = Objection::new(
        "a double quote that is never closed",
        "a second one at the end of the cell",
        "close it; a quote within a quoted cell is written twice",
    );
    let open = !closed(&text[last.clone()]);
    open.then(|| objection.at(last.start..last.start + 1))
}

/// Whether the quote a cell begins with, if it does, is closed in it.
fn closed(cell: &str) -> bool {
    let Some(mut rest) = cell.strip_prefix('"') else {
        return true;
    };
    while let Some(at) = rest.find('"') {
        match rest[at + 1..].strip_prefix('"') {
            Some(further) => rest = further,
            None => return true,
        }
    }
    false
}

/// A cell without the space and quotes around it.
fn trimmed(text: &str, cell: &str, span: &Range<usize>) -> Cell {
    let content = cell.trim().to_owned();
    let raw = &text[span.clone()];
    match raw.find(&content) {
        Some(at) => Cell {
            span: span.start + at..span.start + at + content.len(),
            text: content,
            plain: true,
        },
        None => Cell {
            text: content,
            span: span.clone(),
            plain: false,
        },
    }
}

/// Where the row that the reader says begins at a byte really begins.
fn skip_blank_and_comments(text: &str, mut at: usize) -> usize {
    loop {
        let rest = &text[at..];
        at += match rest.bytes().next() {
            Some(b'\r' | b'\n') => 1,
            Some(b'#') => rest.find('\n').map_or(rest.len(), |end| end + 1),
            _ => return at,
        };
    }
}

/// The bytes of the first `count` cells of the row that begins at a byte, quotes included.
fn spans(text: &str, begin: usize, delimiter: u8, count: usize) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let mut spans = Vec::with_capacity(count);
    let mut at = begin;
    while spans.len() < count {
        let start = at;
        let mut quoted = bytes.get(at) == Some(&b'"');
        if quoted {
            at += 1;
        }
        while let Some(byte) = bytes.get(at) {
            match byte {
                b'"' if quoted && bytes.get(at + 1) == Some(&b'"') => at += 1,
                b'"' if quoted => quoted = false,
                b'\r' | b'\n' if !quoted => break,
                b if *b == delimiter && !quoted => break,
                _ => {}
            }
            at += 1;
        }
        spans.push(start..at.min(bytes.len()));
        if bytes.get(at) == Some(&delimiter) {
            at += 1;
        }
    }
    spans
}
