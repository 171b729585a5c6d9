//! The typed getters of a table.

use std::ops::Range;

use toml_edit::{Item, TableLike, Value};
use units::{Misread, Quantity};

use crate::{Complaint, Entry, Objection, Spanned, Table, nearest};

impl<'a> Table<'a> {
    /// A text.
    pub fn text(&self, key: &str) -> Entry<'a, &'a str> {
        self.entry(key, |item| {
            item.as_str()
                .ok_or_else(|| self.wrong_type(key, item, "a text in double quotes"))
        })
    }

    /// `true` or `false`.
    pub fn flag(&self, key: &str) -> Entry<'a, bool> {
        self.entry(key, |item| {
            item.as_bool()
                .ok_or_else(|| self.wrong_type(key, item, "true or false, without quotes"))
        })
    }

    /// A finite plain number.
    pub fn number(&self, key: &str) -> Entry<'a, f64> {
        self.entry(key, |item| {
            let integer = item.as_integer().map(|i| i as f64);
            item.as_float()
                .or(integer)
                .filter(|number| number.is_finite())
                .ok_or_else(|| self.wrong_type(key, item, "a plain number, without quotes"))
        })
    }

    /// A whole number from `least` to `most`.
    pub fn whole(&self, key: &str, least: usize, most: usize) -> Entry<'a, usize> {
        self.entry(key, |item| {
            item.as_integer()
                .and_then(|integer| usize::try_from(integer).ok())
                .filter(|whole| (least..=most).contains(whole))
                .ok_or_else(|| {
                    let allowed = format!("a whole number from {least} to {most}");
                    self.wrong_type(key, item, &allowed)
                })
        })
    }

    /// One of some words, each with what it stands for.
    pub fn choice<T: Clone>(&self, key: &str, choices: &[(&str, T)]) -> Entry<'a, T> {
        self.text(key).refine(|word| {
            if let Some((_, meaning)) = choices.iter().find(|(w, _)| *w == word) {
                return Ok(meaning.clone());
            }
            let words: Vec<&str> = choices.iter().map(|c| c.0).collect();
            let meant = nearest(word, words.iter().copied());
            let advice = match meant {
                Some(meant) => format!("write \"{meant}\""),
                None => format!("choose one of them for {key}"),
            };
            Err(Objection::new(
                format!("\"{word}\""),
                words.join(", "),
                advice,
            ))
        })
    }

    /// A quantity: a text such as `"4k7"`, or a bare number where the quantity takes one.
    pub fn quantity<Q: Quantity>(&self, key: &str) -> Entry<'a, Q> {
        self.entry(key, |item| self.read_quantity(key, item, item.as_value()))
    }

    /// A list of quantities.
    pub fn quantities<Q: Quantity>(&self, key: &str) -> Entry<'a, Vec<Spanned<Q>>> {
        let what = "a list in [ ]";
        self.entry(key, |item| {
            let array = item
                .as_array()
                .ok_or_else(|| self.wrong_type(key, item, what))?;
            let read = |value: &'a Value| {
                let span = value.span().unwrap_or_else(|| self.span_of(key));
                let value = self.read_quantity::<Q>(key, item, Some(value))?;
                Ok(Spanned { value, span })
            };
            array.iter().map(read).collect()
        })
    }

    /// A list of texts.
    pub fn texts(&self, key: &str) -> Entry<'a, Vec<Spanned<&'a str>>> {
        let what = "a list of texts such as [\"a\", \"b\"]";
        self.entry(key, |item| {
            let array = item
                .as_array()
                .ok_or_else(|| self.wrong_type(key, item, what))?;
            let read = |value: &'a Value| {
                let span = value.span().unwrap_or_else(|| self.span_of(key));
                match value.as_str() {
                    Some(value) => Ok(Spanned { value, span }),
                    None => Err(wrong_value(&describe(value), what, key).at(span)),
                }
            };
            array.iter().map(read).collect()
        })
    }

    /// A table: `[key]`, or `key = { … }`.
    pub fn table(&self, key: &str) -> Entry<'a, Table<'a>> {
        self.entry(key, |item| {
            let tree = item
                .as_table_like()
                .ok_or_else(|| self.wrong_type(key, item, "a table in { } or under [ ]"))?;
            Ok(self.child(tree, self.span_of(key)))
        })
    }

    /// A list of tables: `[[key]]` headings, or `key = [{ … }, { … }]`.
    pub fn tables(&self, key: &str) -> Entry<'a, Vec<Table<'a>>> {
        self.entry(key, |item| {
            if let Some(tables) = item.as_array_of_tables() {
                let child = |t: &'a toml_edit::Table| {
                    self.child(t, t.span().unwrap_or_else(|| self.span_of(key)))
                };
                return Ok(tables.iter().map(child).collect());
            }
            let what = "a list of tables: [[ ]] headings or [{ }, { }]";
            let array = item
                .as_array()
                .ok_or_else(|| self.wrong_type(key, item, what))?;
            let read = |value: &'a Value| {
                let span = value.span().unwrap_or_else(|| self.span_of(key));
                match value.as_inline_table() {
                    Some(table) => Ok(self.child(table as &dyn TableLike, span)),
                    None => Err(wrong_value(&describe(value), what, key).at(span)),
                }
            };
            array.iter().map(read).collect()
        })
    }

    /// Reads a quantity from a text or a bare number.
    fn read_quantity<Q: Quantity>(
        &self,
        key: &str,
        item: &'a Item,
        value: Option<&'a Value>,
    ) -> Result<Q, Complaint> {
        let span = value
            .and_then(Value::span)
            .unwrap_or_else(|| self.span_of(key));
        let (text, offset) = match value {
            Some(Value::String(text)) => (
                text.value().as_str(),
                self.content_start(&span, text.value()),
            ),
            Some(Value::Integer(_) | Value::Float(_)) => {
                (&self.document.text()[span.clone()], Some(span.start))
            }
            _ => {
                let advice = format!("write {key} = \"{}\"", Q::SPELLING.example());
                let allowed = Q::SPELLING.allowed();
                return Err(Objection::new(self.describe(item), allowed, advice).at(span));
            }
        };
        Q::parse(text).map_err(|misread| {
            let at = match offset {
                Some(offset) => misread.span.start + offset..misread.span.end + offset,
                None => span,
            };
            quantity_objection(misread).at(at)
        })
    }

    /// Where a text's content begins in the file, if it stands there letter for letter.
    fn content_start(&self, span: &Range<usize>, content: &str) -> Option<usize> {
        let raw = &self.document.text()[span.clone()];
        let inner = raw.get(1..raw.len().checked_sub(1)?)?;
        (inner == content).then_some(span.start + 1)
    }

    fn wrong_type(&self, key: &str, item: &Item, allowed: &str) -> Complaint {
        wrong_value(&self.describe(item), allowed, key).at(self.span_of(key))
    }

    /// An item in words.
    pub(crate) fn describe(&self, item: &Item) -> String {
        match item {
            Item::Value(value) => describe(value),
            Item::ArrayOfTables(_) => "[[ ]] headings".to_owned(),
            Item::Table(_) | Item::None => "a table".to_owned(),
        }
    }
}

/// A value in words.
fn describe(value: &Value) -> String {
    match value {
        Value::String(text) => format!("the text \"{}\"", text.value()),
        Value::Integer(number) => format!("the number {}", number.value()),
        Value::Float(number) => format!("the number {}", number.value()),
        Value::Boolean(flag) => flag.value().to_string(),
        Value::Datetime(_) => "a date or time".to_owned(),
        Value::Array(_) => "a list".to_owned(),
        Value::InlineTable(_) => "a table".to_owned(),
    }
}

fn wrong_value(found: &str, allowed: &str, key: &str) -> Objection {
    Objection::new(found, allowed, format!("give {key} as {allowed}"))
}

/// A misread value in the words of a file: its text is named, because the caret may
/// stand on a part of it.
fn quantity_objection(misread: Misread) -> Objection {
    let found = match misread.text.trim() {
        "" => "an empty text".to_owned(),
        text if misread.found.contains(text) => misread.found,
        text => format!("{} in \"{text}\"", misread.found),
    };
    Objection::new(found, misread.allowed, misread.advice)
}
