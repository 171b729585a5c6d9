//! Every data file says where its numbers come from.
//!
//! A TOML file of a `data` folder has a `source` at its head, or one in each entry of each of
//! its lists of tables. A CSV or JSON file has a line `# source: …` at its head or a `"source"`
//! field.

use super::complaint::Complaint;
use super::tree::Tree;
use toml_edit::{DocumentMut, Item, TableLike};

/// Looks at the data folders of all crates and of the oracle.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    let data = |path: &str| path.contains("/data/") && !path.contains("/tests/");
    for (path, text) in tree.all().filter(|(path, _)| data(path)) {
        let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
        match ending {
            "toml" => complaints.extend(toml(path, text)),
            "csv" if !text.starts_with("# source: ") => {
                let text = "begins without `# source: …`";
                complaints.push(Complaint::at(path, 1, text));
            }
            "json" if !text.contains("\"source\"") => {
                complaints.push(Complaint::about(path, "has no \"source\" field"));
            }
            _ => {}
        }
    }
    complaints
}

/// Judges one TOML file.
fn toml(path: &str, text: &str) -> Vec<Complaint> {
    let document: DocumentMut = match text.parse() {
        Ok(document) => document,
        Err(why) => return vec![Complaint::about(path, format!("not TOML: {why}"))],
    };
    if has_source(document.as_table()) {
        return Vec::new();
    }
    let mut complaints = Vec::new();
    let mut entries = 0;
    for (list, item) in document.iter() {
        let Item::ArrayOfTables(tables) = item else {
            continue;
        };
        for (index, entry) in tables.iter().enumerate() {
            entries += 1;
            if !has_source(entry) {
                let text = format!("entry {} of [[{list}]] has no source", index + 1);
                complaints.push(Complaint::about(path, text));
            }
        }
    }
    if entries == 0 {
        complaints.push(Complaint::about(path, "has no `source` at its head"));
    }
    complaints
}

/// Whether a table has a `source` with words in it.
fn has_source(table: &dyn TableLike) -> bool {
    table
        .get("source")
        .and_then(Item::as_str)
        .is_some_and(|words| !words.trim().is_empty())
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    #[test]
    fn sources_at_the_head_or_in_each_entry_pass() {
        let tree = Tree::of(&[
            (
                "crates/a/data/x.toml",
                "source = \"a book\"\n[[part]]\nname = \"p\"\n",
            ),
            ("crates/a/data/y.toml", "[[part]]\nsource = \"a book\"\n"),
            ("crates/a/data/z.csv", "# source: a book\n1,2\n"),
            ("crates/a/other.toml", "[[part]]\n"),
        ]);
        assert_told(&check(&tree), &[]);
    }

    #[test]
    fn missing_and_empty_sources_are_told() {
        let tree = Tree::of(&[
            ("crates/a/data/w.csv", "1,2\n"),
            (
                "crates/a/data/x.toml",
                "[[part]]\nsource = \"s\"\n[[part]]\nname = \"q\"\n",
            ),
            ("crates/a/data/y.toml", "[[part]]\nsource = \" \"\n"),
            ("crates/a/data/z.toml", "a = 1\n"),
        ]);
        let told = [
            "crates/a/data/w.csv:1: begins without",
            "crates/a/data/x.toml: entry 2 of [[part]]",
            "crates/a/data/y.toml: entry 1 of [[part]]",
            "crates/a/data/z.toml: has no `source`",
        ];
        assert_told(&check(&tree), &told);
    }
}
