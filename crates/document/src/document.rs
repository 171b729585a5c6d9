//! One file: its name, its text, and the tables in it.

use std::fmt;

use crate::notes::Notes;
use crate::{Complaints, Table, format, syntax};

/// A file whose syntax is sound.
#[derive(Clone)]
pub struct Document {
    name: String,
    pub(crate) tree: toml_edit::Document<String>,
}

impl Document {
    /// Takes a file's name (for complaints only) and text.
    ///
    /// # Errors
    /// Complaints about the syntax.
    pub fn parse(name: &str, text: &str) -> Result<Document, Complaints> {
        match toml_edit::Document::parse(text.to_owned()) {
            Ok(tree) => Ok(Document {
                name: name.to_owned(),
                tree,
            }),
            Err(error) => {
                let mut complaints = Complaints::new(name, text);
                complaints.push(syntax::complaint(text, &error));
                Err(complaints)
            }
        }
    }

    /// The file's name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The file's text.
    #[must_use]
    pub fn text(&self) -> &str {
        self.tree.raw()
    }

    /// Reads the file, which must carry the format line `format = "<kind> <version>"`
    /// with the kind given and at most the version given.
    ///
    /// The closure returns `None` when it cannot go on; it may return a value although
    /// it complained, which is then dropped. When the format line names another kind or
    /// a newer version, that is the only complaint.
    ///
    /// # Errors
    /// All complaints, those about unknown keys included.
    ///
    /// # Panics
    /// When the closure returns `None` without a complaint.
    pub fn read<T>(
        &self,
        kind: &str,
        version: u32,
        reader: impl FnOnce(&Table<'_>) -> Option<T>,
    ) -> Result<T, Complaints> {
        let mut complaints = Complaints::new(&self.name, self.text());
        let notes = Notes::default();
        let root = Table::root(self, &notes);
        if let Err(complaint) = format::check(&root, kind, version) {
            complaints.push(complaint);
            return Err(complaints);
        }
        let value = reader(&root);
        for complaint in notes.finish(value.is_none()) {
            complaints.push(complaint);
        }
        complaints.or(value)
    }
}

impl fmt::Debug for Document {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Document")
            .field("name", &self.name)
            .field("text", &self.text())
            .finish()
    }
}
