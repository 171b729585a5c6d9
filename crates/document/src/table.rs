//! One table of a file: typed getters that remember what was asked.

use std::ops::Range;

use toml_edit::{Item, TableLike};

use crate::notes::Notes;
use crate::{Complaint, Document, Entry, Objection};

/// A table of a document: the root, a `[heading]`, one `[[part]]` or an inline `{ }`.
///
/// Getters note what is wrong and return an [`Entry`]; a key no getter asked for is
/// complained of when the reading ends. Those that take one type are in `values.rs`.
#[derive(Clone, Copy)]
pub struct Table<'a> {
    pub(crate) document: &'a Document,
    notes: &'a Notes,
    pub(crate) tree: &'a dyn TableLike,
    start: usize,
    end: usize,
    visit: usize,
}

impl<'a> Table<'a> {
    pub(crate) fn root(document: &'a Document, notes: &'a Notes) -> Table<'a> {
        Table::new(document, notes, document.tree.as_table(), 0..0)
    }

    fn new(
        document: &'a Document,
        notes: &'a Notes,
        tree: &'a dyn TableLike,
        span: Range<usize>,
    ) -> Table<'a> {
        let keys = tree
            .iter()
            .map(|(key, item)| (key.to_owned(), key_span(tree, key, item)))
            .collect();
        let address = std::ptr::from_ref(tree).cast::<()>().addr();
        Table {
            document,
            notes,
            tree,
            start: span.start,
            end: span.end,
            visit: notes.visit(address, keys),
        }
    }

    /// A table inside this one.
    pub(crate) fn child(&self, tree: &'a dyn TableLike, span: Range<usize>) -> Table<'a> {
        Table::new(self.document, self.notes, tree, span)
    }

    /// The bytes of the heading, or of the inline table; empty at the start for the root.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.start..self.end
    }

    /// The bytes of the value under a key, or of the table itself if it is not there.
    #[must_use]
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.tree
            .get(key)
            .and_then(Item::span)
            .or_else(|| {
                self.tree
                    .get(key)
                    .map(|item| key_span(self.tree, key, item))
            })
            .unwrap_or_else(|| self.span())
    }

    /// Whether a key is there; counts as asking for it.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.item(key).is_some()
    }

    /// Keys that may stand here and are read by somebody else, or not at all this time.
    pub fn tolerate(&self, keys: &[&str]) {
        for key in keys {
            self.notes.ask(self.visit, key);
        }
    }

    /// Whether a table stands under a key; counts as asking for it.
    #[must_use]
    pub fn is_table(&self, key: &str) -> bool {
        self.item(key).is_some_and(Item::is_table_like)
    }

    /// The keys in the order of the file; does not count as asking.
    #[must_use]
    pub fn keys(&self) -> Vec<&'a str> {
        self.tree.iter().map(|(key, _)| key).collect()
    }

    /// Notes an objection to the value under a key (to the table if it is not there).
    pub fn complain(&self, key: &str, objection: Objection) {
        self.complain_at(self.span_of(key), objection);
    }

    /// Notes an objection to some bytes of the file.
    pub fn complain_at(&self, span: Range<usize>, objection: Objection) {
        self.note(objection.at(span));
    }

    pub(crate) fn note(&self, complaint: Complaint) {
        self.notes.complain(complaint);
    }

    pub(crate) fn missing(&self, key: &str, what: &str) {
        let complaint = Objection::new(
            format!("no \"{key}\""),
            format!("{key} = {what}"),
            format!("add a line {key} = {what}"),
        );
        self.notes
            .missing(self.visit, key, complaint.at(self.span()));
    }

    /// What stands under a key, which counts as asking for it.
    pub(crate) fn item(&self, key: &str) -> Option<&'a Item> {
        self.notes.ask(self.visit, key);
        self.tree.get(key).filter(|item| !item.is_none())
    }

    /// The item under a key put through a function; what it objects to is noted.
    pub(crate) fn entry<T>(
        &self,
        key: &str,
        f: impl FnOnce(&'a Item) -> Result<T, Complaint>,
    ) -> Entry<'a, T> {
        let Some(item) = self.item(key) else {
            return Entry::absent(*self, key);
        };
        match f(item) {
            Ok(value) => Entry::given(*self, key, value, self.span_of(key)),
            Err(complaint) => {
                self.note(complaint);
                Entry::refused(*self, key)
            }
        }
    }
}

/// The bytes of a key, or those of its value where the key has none.
fn key_span(tree: &dyn TableLike, key: &str, item: &Item) -> Range<usize> {
    tree.key(key)
        .and_then(toml_edit::Key::span)
        .or_else(|| item.span())
        .unwrap_or(0..0)
}
