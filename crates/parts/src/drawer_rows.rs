//! Cells of a CSV file with their bytes, so that a complaint can point at one.
//!
//! The csv crate reads the rows; it gives where a row begins but not where its cells lie,
//! which are therefore found again in the text by walking over it with the same quoting.

use std::collections::HashMap;
use std::ops::Range;

use csv::{ReaderBuilder, StringRecord};
use document::{Complaints, Objection, nearest};

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
    cells: HashMap<&'static str, Cell>,
    span: Range<usize>,
    /// Line of the file, from 1.
    pub(crate) line: usize,
}

impl Row {
    /// The cell of a column, unless it is empty.
    pub(crate) fn cell(&self, column: &str) -> Option<Cell> {
        self.cells.get(column).cloned()
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

/// All rows under the heading. Complaints about the heading leave no rows; a row that
/// cannot be taken apart is complained of and left out.
pub(crate) fn rows(text: &str, complaints: &mut Complaints) -> Vec<Row> {
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
        return Vec::new();
    };
    let Some(columns) = columns(&header, &header_spans, complaints) else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    // Lines are counted on from row to row: a long file is walked over once.
    let (mut line, mut counted) = (1, 0);
    for (spans, record) in records.flatten() {
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let begin = spans.first().map_or(counted, |s| s.start);
        line += text[counted..begin].matches('\n').count();
        counted = begin;
        let row = row(text, &record, &spans, &columns, complaints);
        rows.extend(row.map(|row| Row { line, ..row }));
    }
    rows
}

/// The separator of the first line that is not empty or a comment.
fn delimiter(text: &str) -> u8 {
    let heading = text
        .lines()
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

/// One row; its line is for the caller to fill in.
fn row(
    text: &str,
    record: &StringRecord,
    spans: &[Range<usize>],
    columns: &[&'static str],
    complaints: &mut Complaints,
) -> Option<Row> {
    let whole = spans.first()?.start..spans.last()?.end;
    if let Some(extra) = spans.get(columns.len()) {
        let objection = Objection::new(
            format!("{} cells under {} columns", record.len(), columns.len()),
            format!("{} cells: {}", columns.len(), columns.join(", ")),
            "put a cell that holds the separator in double quotes",
        );
        complaints.push(objection.at(extra.start..whole.end));
        return None;
    }
    let cells = record.iter().zip(spans).zip(columns);
    let cells = cells
        .filter(|((cell, _), _)| !cell.trim().is_empty())
        .map(|((cell, span), column)| (*column, trimmed(text, cell, span)))
        .collect();
    Some(Row {
        cells,
        line: 0,
        span: whole,
    })
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
