//! Changes one value in place and leaves every other byte as it was.

use std::fmt;

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
        let mut text = self.text().to_owned();
        text.replace_range(span, &Value::from(new).to_string());
        *self = Document::parse(self.name(), &text).map_err(|_| failed())?;
        Ok(())
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
