//! The steps of `cargo xtask ci`.

use crate::oracle;
use crate::process::{cargo, watch};
use crate::tally::Tally;
use crate::tidy;
use crate::trouble::Trouble;
use std::path::Path;

/// One step: its heading and what it does.
pub(super) struct Step {
    /// The heading.
    pub(super) title: &'static str,
    /// Runs it.
    pub(super) run: fn(&Path) -> Result<Tally, Trouble>,
}

/// All steps in their order: the quick ones first.
pub(super) const STEPS: [Step; 7] = [
    Step {
        title: "format",
        run: |root| gate(root, &["fmt", "--all", "--check"], &[]),
    },
    Step {
        title: "tidy",
        run: |root| tidy::run(root, false).map(Tally::one),
    },
    Step {
        title: "clippy, warnings denied",
        run: |root| {
            let words = "clippy --workspace --all-targets --locked --keep-going -- -D warnings";
            gate(root, &words.split(' ').collect::<Vec<_>>(), &[])
        },
    },
    Step {
        title: "tests, documentation tests",
        run: tests,
    },
    Step {
        title: "documentation",
        run: |root| {
            let words = [
                "doc",
                "--workspace",
                "--no-deps",
                "--locked",
                "--keep-going",
            ];
            gate(root, &words, &[("RUSTDOCFLAGS", "-D warnings")])
        },
    },
    Step {
        title: "release build",
        run: |root| gate(root, &["build", "--release", "--locked"], &[]),
    },
    Step {
        title: "oracle",
        run: |root| oracle::run(root, &[]),
    },
];

/// A cargo command that is either good or not.
fn gate(root: &Path, words: &[&str], settings: &[(&str, &str)]) -> Result<Tally, Trouble> {
    let mut command = cargo();
    command
        .current_dir(root)
        .args(words)
        .envs(settings.iter().copied());
    watch(&mut command).map(|ended| Tally::one(ended.good))
}

/// Every Rust test of the workspace, documentation tests included; a failing one does not hide
/// the others, and no snapshot is written.
fn tests(root: &Path) -> Result<Tally, Trouble> {
    let mut command = cargo();
    command.current_dir(root).env("INSTA_UPDATE", "no").args([
        "test",
        "--workspace",
        "--locked",
        "--no-fail-fast",
    ]);
    let ended = watch(&mut command)?;
    Ok(Tally::of_cargo(&ended.output).with_exit(ended.good))
}
