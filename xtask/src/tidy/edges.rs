//! Crates use only the crates that the one table in ARCHITECTURE.md lets them.
//!
//! The table stands under the heading `## Allowed edges`; a row is
//! `` | `crate` | `one` `two` | … | ``. A crate may use the `testkit` in its tests without being
//! in the table for it, and nothing but tests may use it.

use super::complaint::Complaint;
use super::tree::Tree;
use std::collections::{BTreeMap, BTreeSet};

const TABLE: &str = "ARCHITECTURE.md";

/// Crate name → the crates it may use.
type Allowed = BTreeMap<String, BTreeSet<String>>;

/// Compares every manifest with the table, and the table with the crates there are.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let Some(allowed) = tree.text(TABLE).map(table).filter(|t| !t.is_empty()) else {
        let text = "no table of crates under `## Allowed edges`";
        return vec![Complaint::about(TABLE, text)];
    };
    let mut complaints = Vec::new();
    let mut seen = BTreeSet::new();
    for (path, text) in tree.ending("/Cargo.toml") {
        let Some(name) = crate_name(path) else {
            continue;
        };
        seen.insert(name.to_owned());
        match allowed.get(name) {
            None => complaints.push(Complaint::about(
                path,
                format!("`{name}` has no row in the table of {TABLE}"),
            )),
            Some(edges) => complaints.extend(manifest(path, text, name, edges, &allowed)),
        }
    }
    for name in allowed.keys().filter(|name| !seen.contains(*name)) {
        let text = format!("the table has a row for `{name}`, which is no crate");
        complaints.push(Complaint::about(TABLE, text));
    }
    complaints
}

/// `crates/units/Cargo.toml` → `units`.
fn crate_name(path: &str) -> Option<&str> {
    path.strip_prefix("crates/")?
        .strip_suffix("/Cargo.toml")
        .filter(|name| !name.contains('/'))
}

/// Reads the rows under the heading.
fn table(text: &str) -> Allowed {
    let section = text
        .lines()
        .skip_while(|line| line.trim() != "## Allowed edges")
        .skip(1)
        .take_while(|line| !line.starts_with("## "));
    let mut allowed = Allowed::new();
    for line in section {
        let mut cells = line.trim().split('|').skip(1).map(ticked);
        let name = cells.next().and_then(|names| names.into_iter().next());
        if let (Some(name), Some(edges)) = (name, cells.next()) {
            allowed.insert(name, edges);
        }
    }
    allowed
}

/// The words between back-ticks.
fn ticked(cell: &str) -> BTreeSet<String> {
    cell.split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

/// The edges of one manifest that the table does not allow.
fn manifest(
    path: &str,
    text: &str,
    name: &str,
    edges: &BTreeSet<String>,
    all: &Allowed,
) -> Vec<Complaint> {
    let document: toml_edit::DocumentMut = match text.parse() {
        Ok(document) => document,
        Err(why) => return vec![Complaint::about(path, format!("not TOML: {why}"))],
    };
    let mut complaints = Vec::new();
    for (section, is_test) in [
        ("dependencies", false),
        ("build-dependencies", false),
        ("dev-dependencies", true),
    ] {
        let Some(table) = document.get(section).and_then(|item| item.as_table_like()) else {
            continue;
        };
        for (used, _) in table.iter().filter(|(used, _)| all.contains_key(*used)) {
            let for_tests = is_test && used == "testkit";
            if !edges.contains(used) && !for_tests {
                let text = format!(
                    "`{name}` uses `{used}` in [{section}], which the table of {TABLE} does not allow"
                );
                complaints.push(Complaint::about(path, text));
            }
        }
    }
    complaints
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    const TABLE: &str = "# House\n## Allowed edges\n\n| crate | may use |\n|---|---|\n\
        | `units` | – |\n| `parts` | `units` |\n| `testkit` | `units` |\n\n## Next\n| `no` | `row` |\n";

    fn complaints(parts: &str) -> Vec<super::Complaint> {
        check(&Tree::of(&[
            ("ARCHITECTURE.md", TABLE),
            ("crates/units/Cargo.toml", "[dependencies]\nserde = \"1\"\n"),
            ("crates/parts/Cargo.toml", parts),
            (
                "crates/testkit/Cargo.toml",
                "[dependencies]\nunits.workspace = true\n",
            ),
        ]))
    }

    #[test]
    fn allowed_edges_and_the_testkit_in_tests_pass() {
        let parts = "[dependencies]\nunits.workspace = true\n\
            [dev-dependencies]\ntestkit.workspace = true\nproptest = \"1\"\n";
        assert_told(&complaints(parts), &[]);
    }

    #[test]
    fn an_edge_beside_the_table_is_told() {
        let told = ["crates/parts/Cargo.toml: `parts` uses `testkit` in [dependencies]"];
        assert_told(&complaints("[dependencies]\ntestkit = {}\n"), &told);
        let told = ["crates/parts/Cargo.toml: `parts` uses `parts` in [dev-dependencies]"];
        assert_told(&complaints("[dev-dependencies]\nparts = {}\n"), &told);
    }

    #[test]
    fn rows_and_crates_must_agree() {
        let without = Tree::of(&[("ARCHITECTURE.md", "words"), ("crates/a/Cargo.toml", "")]);
        assert_told(&check(&without), &["ARCHITECTURE.md: no table"]);
        let other = Tree::of(&[("ARCHITECTURE.md", TABLE), ("crates/new/Cargo.toml", "")]);
        let told = [
            "crates/new/Cargo.toml: `new` has no row",
            "ARCHITECTURE.md: the table has a row for `parts`",
            "ARCHITECTURE.md: the table has a row for `testkit`",
            "ARCHITECTURE.md: the table has a row for `units`",
        ];
        assert_told(&check(&other), &told);
    }
}
