//! What the documents tell one to type exists: chores of `cargo xtask`, commands of `narrows`,
//! and the files of `examples/` they are given; and every link to a file of ours leads somewhere.

use super::complaint::Complaint;
use super::tree::Tree;
use super::use_cases;
use crate::command::Command;

/// The documents that are read.
const DOCUMENTS: [&str; 3] = ["README.md", "CONTRIBUTING.md", "ARCHITECTURE.md"];

/// Reads the documents that exist.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for document in DOCUMENTS {
        let mut in_code = false;
        let lines = tree.text(document).unwrap_or_default().lines();
        for (index, line) in lines.enumerate() {
            if line.trim_start().starts_with("```") {
                in_code = !in_code;
            }
            let typed: Vec<&str> = if in_code {
                vec![line]
            } else {
                line.split('`').skip(1).step_by(2).collect()
            };
            let wrong = typed
                .into_iter()
                .flat_map(|line| command(tree, line))
                .chain(links(tree, line));
            complaints.extend(wrong.map(|text| Complaint::at(document, index + 1, text)));
        }
    }
    complaints
}

/// What is wrong with one line to be typed.
fn command(tree: &Tree, line: &str) -> Vec<String> {
    let line = line.trim().trim_start_matches("$ ");
    let words: Vec<&str> = line.split_whitespace().collect();
    let mut wrong = Vec::new();
    match words.as_slice() {
        ["cargo", "xtask", chore, ..] => {
            if is_word(chore) && !Command::NAMES.contains(chore) {
                wrong.push(format!("`cargo xtask {chore}` is no chore"));
            }
        }
        ["cargo", "run", rest @ ..] => {
            if let Some(at) = rest.iter().position(|word| *word == "--") {
                wrong.extend(narrows(tree, &rest[at + 1..]));
            }
        }
        ["narrows", rest @ ..] => wrong.extend(narrows(tree, rest)),
        _ => return wrong,
    }
    for path in words.iter().filter(|word| word.starts_with("examples/")) {
        if !tree.holds(path) {
            wrong.push(format!("there is no `{path}`"));
        }
    }
    wrong
}

/// What is wrong with the words after the program's name.
fn narrows(tree: &Tree, words: &[&str]) -> Option<String> {
    let verb = words.first().filter(|word| is_word(word))?;
    let known = use_cases::names(tree);
    (!known.contains(verb)).then(|| format!("`narrows {verb}` is no command"))
}

/// Whether a word is a plain one, as against an option or a place-holder.
fn is_word(word: &str) -> bool {
    word.chars().all(|c| c.is_ascii_lowercase())
}

/// Links `](path)` to files of ours that are not there.
fn links<'a>(tree: &'a Tree, line: &'a str) -> impl Iterator<Item = String> + 'a {
    line.split("](")
        .skip(1)
        .filter_map(|after| after.split_once(')').map(|(target, _)| target))
        .filter(|target| !target.contains("://") && !target.starts_with('#'))
        .map(|target| target.split('#').next().unwrap_or(target))
        .filter(|target| !tree.holds(target))
        .map(|target| format!("the link to `{target}` leads nowhere"))
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::check;

    fn told(readme: &str, beginnings: &[&str]) {
        let tree = Tree::of(&[
            ("README.md", readme),
            ("crates/workshop/src/plan.rs", "pub fn plan() {}"),
            ("examples/attic/need.toml", ""),
        ]);
        assert_told(&check(&tree), beginnings);
    }

    #[test]
    fn what_exists_passes() {
        told(
            "```sh\ncargo run --release -- plan examples/attic/need.toml --out attic\n\
             cargo xtask ci\n$ narrows plan examples/attic/need.toml\nnarrows --help\n```\n\
             Type `cargo xtask tidy`, see [it](examples/attic/need.toml#top) or [x](https://x).\n",
            &[],
        );
    }

    #[test]
    fn what_does_not_exist_is_told() {
        told(
            "`cargo xtask tidier`\n",
            &["README.md:1: `cargo xtask tidier`"],
        );
        told(
            "```\nnarrows retune x\n```\n",
            &["README.md:2: `narrows retune`"],
        );
        told("`cargo run -- hear`\n", &["README.md:1: `narrows hear`"]);
        told(
            "`narrows plan examples/b.toml`\n",
            &["README.md:1: there is no"],
        );
        told("[x](docs/none.md)\n", &["README.md:1: the link"]);
    }
}
