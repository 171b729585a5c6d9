//! Every source file says at its head what it is.

use super::complaint::Complaint;
use super::tree::Tree;

/// Rust files need an inner documentation comment, Python files a docstring, JavaScript files a
/// block comment.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (ending, opens) in [(".rs", "//!"), (".py", "\"\"\""), (".js", "/**")] {
        for (path, text) in tree.ending(ending) {
            let first = text
                .lines()
                .map(str::trim_start)
                .find(|line| !(line.is_empty() || line.starts_with("#!")));
            if !first.is_some_and(|line| line.starts_with(opens) && line.len() > opens.len()) {
                let text = format!("begins without `{opens}` and a sentence on what the file is");
                complaints.push(Complaint::at(path, 1, text));
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

    #[test]
    fn heads_pass_and_their_absence_is_told() {
        let good = [
            ("a.rs", "//! Story.\nfn f() {}"),
            ("b.rs", "#![no_std]\n//! Story.\n"),
            ("c.py", "#!/usr/bin/env python3\n\"\"\"Story.\"\"\"\n"),
            ("d.js", "/** Story. */\n"),
            ("e.md", "words"),
        ];
        assert_told(&check(&Tree::of(&good)), &[]);
        let bad = [
            ("a.rs", "// Story.\n"),
            ("b.rs", ""),
            ("c.rs", "//!\nfn f() {}\n"),
            ("d.py", "import os\n"),
        ];
        let told = [
            "a.rs:1: begins",
            "b.rs:1: begins",
            "c.rs:1: begins",
            "d.py:1: begins",
        ];
        assert_told(&check(&Tree::of(&bad)), &told);
    }
}
