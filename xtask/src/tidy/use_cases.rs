//! One name for one thing the user can do.
//!
//! A use-case is a file of `workshop/src` with a public function of its own name. Each has a file
//! of that name for the command line and one for the tests of the command line; and those
//! folders hold no file of another name.

use super::complaint::Complaint;
use super::tree::Tree;
use std::collections::BTreeSet;

const WORKSHOP: &str = "crates/workshop/src";

/// A folder in which each use-case has its file.
struct Layer {
    folder: &'static str,
    ending: &'static str,
    /// Files that belong to the folder as a whole.
    frame: &'static [&'static str],
}

/// The layers; one whose folder does not exist is not asked for.
const LAYERS: [Layer; 4] = [
    Layer {
        folder: "crates/app/src/cli",
        ending: ".rs",
        frame: &["mod"],
    },
    Layer {
        folder: "crates/app/tests/cli",
        ending: ".rs",
        frame: &["main", "mod"],
    },
    Layer {
        folder: "crates/app/src/server",
        ending: ".rs",
        frame: &["mod"],
    },
    Layer {
        folder: "crates/app/web/pages",
        ending: ".js",
        frame: &[],
    },
];

/// Compares the layers that exist with the use-cases.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let use_cases = names(tree);
    let mut complaints = Vec::new();
    for layer in LAYERS.iter().filter(|layer| tree.holds(layer.folder)) {
        let there: BTreeSet<&str> = tree
            .within(layer.folder, layer.ending)
            .map(|(stem, ..)| stem)
            .filter(|stem| !layer.frame.contains(stem))
            .collect();
        for name in use_cases.difference(&there) {
            let path = format!("{}/{name}{}", layer.folder, layer.ending);
            let text = format!("missing: {WORKSHOP}/{name}.rs is a use-case");
            complaints.push(Complaint::about(&path, text));
        }
        for name in there.difference(&use_cases) {
            let path = format!("{}/{name}{}", layer.folder, layer.ending);
            let text =
                format!("no use-case of that name: {WORKSHOP}/{name}.rs has no `pub fn {name}`");
            complaints.push(Complaint::about(&path, text));
        }
    }
    complaints
}

/// The use-cases of the workshop.
pub(super) fn names(tree: &Tree) -> BTreeSet<&str> {
    tree.within(WORKSHOP, ".rs")
        .filter(|(stem, _, text)| {
            ["(", "<"]
                .iter()
                .any(|next| text.contains(&format!("pub fn {stem}{next}")))
        })
        .map(|(stem, ..)| stem)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    const PLAN: (&str, &str) = ("crates/workshop/src/plan.rs", "pub fn plan(need: &Need) {}");
    const FOLDER: (&str, &str) = ("crates/workshop/src/outcome.rs", "pub struct Outcome;");

    #[test]
    fn agreeing_layers_pass() {
        let tree = Tree::of(&[
            PLAN,
            FOLDER,
            ("crates/app/src/cli/mod.rs", ""),
            ("crates/app/src/cli/plan.rs", ""),
            ("crates/app/src/cli/text/table.rs", ""),
            ("crates/app/tests/cli/main.rs", ""),
            ("crates/app/tests/cli/plan.rs", ""),
        ]);
        assert_told(&check(&tree), &[]);
    }

    #[test]
    fn a_missing_and_a_stray_name_are_told() {
        let tree = Tree::of(&[
            PLAN,
            ("crates/app/src/cli/mod.rs", ""),
            ("crates/app/tests/cli/plan.rs", ""),
            ("crates/app/tests/cli/retune.rs", ""),
        ]);
        let told = [
            "crates/app/src/cli/plan.rs: missing",
            "crates/app/tests/cli/retune.rs: no use-case",
        ];
        assert_told(&check(&tree), &told);
    }
}
