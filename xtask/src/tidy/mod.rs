//! The rules of the house that a compiler does not check.
//!
//! Every check is a function from the [`Tree`] of files to complaints: it reads nothing itself,
//! so that its tests show it a small tree in which the rule is broken. What is merely long is a
//! remark, listed on request.

mod citations;
mod complaint;
mod edges;
mod findings;
mod leftovers;
mod lint_levels;
mod module_doc;
mod readme;
mod size;
mod sources;
mod tree;
mod use_cases;

use crate::trouble::Trouble;
use complaint::Complaint;
use std::path::Path;
use tree::Tree;

/// One check: what it holds the tree to, and the function.
type Check = (&'static str, fn(&Tree) -> Vec<Complaint>);

/// All of them.
const CHECKS: [Check; 10] = [
    (
        "crates use only the crates ARCHITECTURE.md lets them",
        edges::check,
    ),
    ("no file over 800 lines, no function over 70", size::check),
    (
        "every source file says at its head what it is",
        module_doc::check,
    ),
    (
        "lints are expected with a reason, never merely allowed",
        lint_levels::check,
    ),
    ("one name for one thing the user can do", use_cases::check),
    ("every citation stands in REFERENCES.md", citations::check),
    ("nothing is left over from the making", leftovers::check),
    (
        "every data file says where its numbers come from",
        sources::check,
    ),
    ("every finding is registered and complete", findings::check),
    ("what the documents tell one to type exists", readme::check),
];

/// Runs all checks on the repository; `Ok(false)` when there are complaints.
pub(crate) fn run(root: &Path, remarks: bool) -> Result<bool, Trouble> {
    let tree = Tree::read(root)?;
    let mut complaints = 0;
    for (rule, check) in CHECKS {
        let found = check(&tree);
        let mark = if found.is_empty() { "ok  " } else { "FAIL" };
        println!("{mark} {rule}");
        for complaint in &found {
            println!("       {complaint}");
        }
        complaints += found.len();
    }
    let long = size::remarks(&tree);
    if remarks {
        for remark in &long {
            println!("long {remark}");
        }
    }
    println!(
        "{complaints} complaints, {} remarks in {} files",
        long.len(),
        tree.len()
    );
    Ok(complaints == 0)
}
