//! The files of the repository as a value, so that checks can be shown small invented ones.

use crate::process::ask;
use crate::trouble::Trouble;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Path from the root, with `/` between names, and text. Files that are not text are there with
/// an empty one.
#[derive(Debug, Default)]
pub(super) struct Tree {
    files: BTreeMap<String, String>,
}

impl Tree {
    /// Reads the files that are, or could be, under version control.
    pub(super) fn read(root: &Path) -> Result<Tree, Trouble> {
        let mut git = Command::new("git");
        git.current_dir(root)
            .args(["ls-files", "--cached", "--others", "--exclude-standard"]);
        let listed = ask(&mut git)?;
        if !listed.good {
            return Err(Trouble::Failed {
                program: "git ls-files".to_owned(),
                advice: "tidy looks at the files git knows: run it in a clone".to_owned(),
            });
        }
        let mut files = BTreeMap::new();
        for path in listed.output.lines() {
            // A file that was deleted and not yet committed is listed but not there.
            if let Ok(bytes) = std::fs::read(root.join(path)) {
                files.insert(
                    path.to_owned(),
                    String::from_utf8(bytes).unwrap_or_default(),
                );
            }
        }
        Ok(Tree { files })
    }

    /// An invented tree.
    #[cfg(test)]
    pub(super) fn of(files: &[(&str, &str)]) -> Tree {
        let own = |&(path, text): &(&str, &str)| (path.to_owned(), text.to_owned());
        Tree {
            files: files.iter().map(own).collect(),
        }
    }

    /// How many files there are.
    pub(super) fn len(&self) -> usize {
        self.files.len()
    }

    /// The text of a file.
    pub(super) fn text(&self, path: &str) -> Option<&str> {
        self.files.get(path).map(String::as_str)
    }

    /// Whether there is such a file, or a folder with files.
    pub(super) fn holds(&self, path: &str) -> bool {
        let folder = format!("{}/", path.trim_end_matches('/'));
        self.files.contains_key(path) || self.files.keys().any(|p| p.starts_with(&folder))
    }

    /// All files with that ending, as (path, text), in the order of their paths.
    pub(super) fn ending<'a>(
        &'a self,
        ending: &'a str,
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.files
            .iter()
            .filter(move |(path, _)| path.ends_with(ending))
            .map(|(path, text)| (path.as_str(), text.as_str()))
    }

    /// The files directly in a folder with that ending, as (stem, path, text).
    pub(super) fn within<'a>(
        &'a self,
        folder: &'a str,
        ending: &'a str,
    ) -> impl Iterator<Item = (&'a str, &'a str, &'a str)> {
        self.ending(ending).filter_map(move |(path, text)| {
            let name = path.strip_prefix(folder)?.strip_prefix('/')?;
            let stem = name.strip_suffix(ending)?;
            (!stem.contains('/')).then_some((stem, path, text))
        })
    }

    /// All files.
    pub(super) fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        self.files
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str()))
    }
}

#[cfg(test)]
mod tests {
    use super::Tree;

    #[test]
    fn folders_and_endings_select_files() {
        let tree = Tree::of(&[("a/b.rs", "1"), ("a/c/d.rs", "2"), ("a/b.md", "3")]);
        let stems: Vec<_> = tree.within("a", ".rs").map(|(stem, ..)| stem).collect();
        assert_eq!(stems, ["b"]);
        assert_eq!(tree.ending(".rs").count(), 2);
        assert!(tree.holds("a/c") && tree.holds("a/b.md") && !tree.holds("a/b"));
    }
}
