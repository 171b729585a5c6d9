//! Every finding is registered and complete: one file a finding in `workshop/src/findings`, named
//! in `mod.rs` both as a module and in its list; its head says what it checks, why it matters,
//! what to do about it and where that is from; what it makes carries the name of the file.

use super::complaint::Complaint;
use super::tree::Tree;

const FOLDER: &str = "crates/workshop/src/findings";

/// What the head of every finding says.
const WORDS: [&str; 4] = ["Checks", "Why:", "Do:", "Source:"];

/// Looks at each file of the folder, if it exists.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let list_path = format!("{FOLDER}/mod.rs");
    let list = tree.text(&list_path).unwrap_or_default();
    let mut complaints = Vec::new();
    for (stem, path, text) in tree
        .within(FOLDER, ".rs")
        .filter(|(stem, ..)| *stem != "mod")
    {
        let declared = list.contains(&format!("mod {stem};"));
        let listed = list.contains(&format!("{stem}::"));
        if !(declared && listed) {
            let text = format!("not registered in {list_path}: it would never be found");
            complaints.push(Complaint::about(path, text));
        }
        let head = head(text);
        for word in WORDS.iter().filter(|word| !head.contains(**word)) {
            let text = format!("its head does not say `{word} …`");
            complaints.push(Complaint::at(path, 1, text));
        }
        if !text.contains(&format!("\"{stem}\"")) {
            let text = format!("its findings should have the id \"{stem}\"");
            complaints.push(Complaint::about(path, text));
        }
    }
    complaints
}

/// The module documentation, without its marks.
fn head(text: &str) -> String {
    text.lines()
        .map_while(|line| line.strip_prefix("//!"))
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    const GOOD: &str = "//! Hum.\n//!\n//! Checks a. Why: b.\n//! Do: c. Source: d.\n\"hum\"\n";
    const HUM: &str = "crates/workshop/src/findings/hum.rs";
    const LIST: &str = "crates/workshop/src/findings/mod.rs";

    #[test]
    fn a_registered_and_complete_finding_passes() {
        let tree = Tree::of(&[
            (HUM, GOOD),
            (LIST, "mod hum;\nconst ALL: [F; 1] = [hum::find];\n"),
        ]);
        assert_told(&check(&tree), &[]);
    }

    #[test]
    fn an_unregistered_and_an_incomplete_finding_are_told() {
        let tree = Tree::of(&[(HUM, GOOD), (LIST, "mod hum;\n")]);
        assert_told(&check(&tree), &[&format!("{HUM}: not registered")]);
        let bad = "//! Checks a.\n//! Do: c.\n\"ham\"\n// Why: b.\n";
        let tree = Tree::of(&[(HUM, bad), (LIST, "mod hum;\n[hum::find]\n")]);
        let told = [
            format!("{HUM}:1: its head does not say `Why: …`"),
            format!("{HUM}:1: its head does not say `Source: …`"),
            format!("{HUM}: its findings should have the id \"hum\""),
        ];
        assert_told(&check(&tree), &told.each_ref().map(String::as_str));
    }
}
