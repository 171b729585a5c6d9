//! Changes, adds or takes out one value in place and leaves every other byte as it was.

use std::fmt;

use std::ops::Range;

use toml_edit::{Item, Value};

use crate::Document;

/// One step on the way to a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step<'s> {
    /// Into a table, by key.
    Key(&'s str),
    /// Into a list or `[[ ]]` headings, by index from 0.
    Index(usize),
}

impl<'s> From<&'s str> for Step<'s> {
    fn from(key: &'s str) -> Self {
        Step::Key(key)
    }
}

impl From<usize> for Step<'_> {
    fn from(index: usize) -> Self {
        Step::Index(index)
    }
}

/// The path of an edit leads nowhere, or not to a single value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchPlace {
    /// The path as far as it was followed, `part[3].value`.
    pub path: String,
}

impl fmt::Display for NoSuchPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no value at {}", self.path)
    }
}

impl std::error::Error for NoSuchPlace {}

/// Where a path has led.
#[derive(Clone, Copy)]
enum Place<'a> {
    Item(&'a Item),
    Value(&'a Value),
    Table(&'a toml_edit::Table),
}

impl<'a> Place<'a> {
    fn step(self, step: Step<'_>) -> Option<Place<'a>> {
        match (self, step) {
            (Place::Item(Item::Value(value)), step) => Place::Value(value).step(step),
            (Place::Item(Item::Table(table)), step) => Place::Table(table).step(step),
            (Place::Item(Item::ArrayOfTables(tables)), Step::Index(i)) => {
                tables.get(i).map(Place::Table)
            }
            (Place::Table(table), Step::Key(key)) => table.get(key).map(Place::Item),
            (Place::Value(Value::InlineTable(table)), Step::Key(key)) => {
                table.get(key).map(Place::Value)
            }
            (Place::Value(Value::Array(array)), Step::Index(i)) => array.get(i).map(Place::Value),
            _ => None,
        }
    }

    /// Where a key of this table stands in the text, its value included, and whether the table
    /// is one of a single line.
    fn entry(self, key: &str) -> Option<(Range<usize>, bool)> {
        let (name, value, inline) = match self {
            Place::Table(table) | Place::Item(Item::Table(table)) => {
                let (name, item) = table.get_key_value(key)?;
                (name, item.as_value()?, false)
            }
            Place::Value(Value::InlineTable(table))
            | Place::Item(Item::Value(Value::InlineTable(table))) => {
                let (name, item) = table.get_key_value(key)?;
                (name, item.as_value()?, true)
            }
            _ => return None,
        };
        Some((name.span()?.start..value.span()?.end, inline))
    }

    fn value(self) -> Option<&'a Value> {
        match self {
            Place::Item(item) => item.as_value(),
            Place::Value(value) => Some(value),
            Place::Table(_) => None,
        }
    }
}

impl Document {
    /// Replaces the value at a path by a text; comments, spacing and line ends stay.
    ///
    /// ```
    /// # use document::Document;
    /// let mut d = Document::parse("c.toml", "[[part]]\nvalue = '4k7' # hot\n").unwrap();
    /// d.set_text(&["part".into(), 0.into(), "value".into()], "5k1").unwrap();
    /// assert_eq!(d.text(), "[[part]]\nvalue = \"5k1\" # hot\n");
    /// ```
    ///
    /// # Errors
    /// When the path does not lead to a single value; the document is unchanged.
    pub fn set_text(&mut self, path: &[Step<'_>], new: &str) -> Result<(), NoSuchPlace> {
        let failed = || NoSuchPlace { path: spelt(path) };
        let root = Place::Item(self.tree.as_item());
        let span = path
            .iter()
            .try_fold(root, |place, step| place.step(*step))
            .and_then(Place::value)
            .and_then(Value::span)
            .ok_or_else(failed)?;
        self.write(span, &Value::from(new).to_string())
            .ok_or_else(failed)
    }

    /// Adds a text under a key that a table does not have yet, right after another key of it: on a
    /// line of its own, indented alike, or after a comma in a table of one line.
    ///
    /// ```
    /// # use document::Document;
    /// let mut d = Document::parse("c.toml", "[[part]]\nvalue = '4k7' # hot\n").unwrap();
    /// d.add_text(&["part".into(), 0.into()], "value", "tolerance", "1 %").unwrap();
    /// assert_eq!(d.text(), "[[part]]\nvalue = '4k7' # hot\ntolerance = \"1 %\"\n");
    /// ```
    ///
    /// # Errors
    /// When there is no such table, it has no key `after`, or the new key is there already; the
    /// document is unchanged.
    pub fn add_text(
        &mut self,
        table: &[Step<'_>],
        after: &str,
        key: &str,
        new: &str,
    ) -> Result<(), NoSuchPlace> {
        let failed = || NoSuchPlace {
            path: format!("{}.{after}", spelt(table)),
        };
        let (span, inline) = self.entry(table, after).ok_or_else(failed)?;
        let entry = format!("{key} = {}", Value::from(new));
        let text = self.text();
        let (at, added) = if inline {
            (span.end, format!(", {entry}"))
        } else {
            let line = text[..span.start].rfind('\n').map_or(0, |k| k + 1);
            let indent = &text[line..span.start];
            match text[span.end..].find('\n') {
                Some(k) => {
                    let end = span.end + k + 1;
                    let crlf = text[..end].ends_with("\r\n");
                    (
                        end,
                        format!("{indent}{entry}{}", if crlf { "\r\n" } else { "\n" }),
                    )
                }
                None => (text.len(), format!("\n{indent}{entry}")),
            }
        };
        self.write(at..at, &added).ok_or_else(failed)
    }

    /// Takes a key out of a table: its line with the remark behind it, or, from a table of one
    /// line, the entry with one comma.
    ///
    /// ```
    /// # use document::Document;
    /// let mut d = Document::parse("c.toml", "a = 1\nb = 2 # old\nc = { x = 1, y = 2 }\n").unwrap();
    /// d.take_out(&[], "b").unwrap();
    /// d.take_out(&["c".into()], "x").unwrap();
    /// assert_eq!(d.text(), "a = 1\nc = { y = 2 }\n");
    /// ```
    ///
    /// # Errors
    /// When there is no such table or key, or its value is a table under a heading; the document
    /// is unchanged.
    pub fn take_out(&mut self, table: &[Step<'_>], key: &str) -> Result<(), NoSuchPlace> {
        let failed = || NoSuchPlace {
            path: format!("{}.{key}", spelt(table)),
        };
        let (span, inline) = self.entry(table, key).ok_or_else(failed)?;
        let text = self.text();
        let (before, behind) = (&text[..span.start], &text[span.end..]);
        let gone = if inline {
            match behind.trim_start().strip_prefix(',') {
                Some(rest) => span.start..text.len() - rest.trim_start_matches([' ', '\t']).len(),
                None => match before.trim_end().strip_suffix(',') {
                    Some(rest) => rest.len()..span.end,
                    None => span,
                },
            }
        } else {
            let start = before.rfind('\n').map_or(0, |k| k + 1);
            start..behind.find('\n').map_or(text.len(), |k| span.end + k + 1)
        };
        self.write(gone, "").ok_or_else(failed)
    }

    fn entry(&self, table: &[Step<'_>], key: &str) -> Option<(Range<usize>, bool)> {
        let root = Place::Table(self.tree.as_table());
        let mut steps = table.iter();
        steps
            .try_fold(root, |place, step| place.step(*step))?
            .entry(key)
    }

    /// Puts a text over a range of bytes; `None`, and nothing changed, where it no longer reads.
    fn write(&mut self, span: Range<usize>, new: &str) -> Option<()> {
        let mut text = self.text().to_owned();
        text.replace_range(span, new);
        *self = Document::parse(self.name(), &text).ok()?;
        Some(())
    }
}

/// A path in writing: `part[3].value`.
fn spelt(path: &[Step<'_>]) -> String {
    path.iter().fold(String::new(), |all, step| match step {
        Step::Key(key) if all.is_empty() => (*key).to_owned(),
        Step::Key(key) => format!("{all}.{key}"),
        Step::Index(index) => format!("{all}[{index}]"),
    })
}
