//! Everything that is wrong with one file.

use std::fmt;

use crate::Complaint;

/// All complaints about one file, in the order of the file; never empty when it is
/// returned as an error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaints {
    name: String,
    text: String,
    /// Bytes at which the lines begin.
    lines: Vec<usize>,
    list: Vec<Complaint>,
}

impl Complaints {
    /// None yet, about the file of that name and text.
    #[must_use]
    pub fn new(name: &str, text: &str) -> Self {
        Complaints {
            name: name.to_owned(),
            text: text.to_owned(),
            lines: std::iter::once(0)
                .chain(text.match_indices('\n').map(|(at, _)| at + 1))
                .collect(),
            list: Vec::new(),
        }
    }

    /// Adds one; a span that leaves the text or splits a character is drawn in.
    pub fn push(&mut self, mut complaint: Complaint) {
        let end = boundary(&self.text, complaint.span.end);
        let start = boundary(&self.text, complaint.span.start);
        complaint.span = start.min(end)..end;
        let at = self
            .list
            .partition_point(|c| c.span.start <= complaint.span.start);
        self.list.insert(at, complaint);
    }

    /// The file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The file's text, which the spans count in.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The complaints.
    #[must_use]
    pub fn list(&self) -> &[Complaint] {
        &self.list
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Line and column of a byte of the text, both from 1; the column counts characters.
    #[must_use]
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let byte = boundary(&self.text, byte);
        let line = self.lines.partition_point(|start| *start <= byte);
        let line_start = self.lines[line - 1];
        (line, self.text[line_start..byte].chars().count() + 1)
    }

    /// The value when there is no complaint, otherwise the complaints.
    ///
    /// # Errors
    /// Itself, when there is a complaint.
    ///
    /// # Panics
    /// When there is neither a value nor a complaint: the reader gave up silently.
    pub fn or<T>(self, value: Option<T>) -> Result<T, Complaints> {
        if !self.is_empty() {
            return Err(self);
        }
        assert!(
            value.is_some(),
            "the reader of {} gave up without a complaint",
            self.name
        );
        value.ok_or(self)
    }
}

/// The greatest character boundary of a text that is not beyond a byte.
pub(crate) fn boundary(text: &str, byte: usize) -> usize {
    let byte = byte.min(text.len());
    (0..=byte)
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0)
}

/// One line a complaint: `file:line:column: found …; allowed here: …; …`.
impl fmt::Display for Complaints {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, complaint) in self.list.iter().enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            let (line, column) = self.line_column(complaint.span.start);
            write!(f, "{}:{line}:{column}: {}", self.name, complaint.sentence())?;
        }
        Ok(())
    }
}

impl std::error::Error for Complaints {}
