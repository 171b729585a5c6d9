//! The worked sessions in `--help` are what the program really prints.
//!
//! Run with `NARROWS_BLESS=1` to write them anew after a change that was meant.

use crate::play::{blessed, examples_in, shown};
use crate::run::root;
use std::fs;

#[test]
fn every_worked_session_is_true() {
    let folder = root().join("crates/app/sessions");
    let mut sessions: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    sessions.sort();
    assert!(!sessions.is_empty(), "no session in {}", folder.display());
    for file in sessions {
        let told = fs::read_to_string(&file).unwrap();
        blessed(&file, &told, &played(&told));
    }
}

/// The session with every line after `$ narrows …` replaced by what the command prints; what it
/// changes it changes in a copy of the examples.
fn played(session: &str) -> String {
    let place = tempfile::tempdir().unwrap();
    examples_in(place.path());
    let mut out = String::from("A worked session\n\n");
    for line in session.lines().filter(|l| l.starts_with("  $ ")) {
        out.push_str(line);
        out.push('\n');
        for printed in shown(&line[4..], place.path()).lines() {
            out.push_str(format!("  {printed}").trim_end());
            out.push('\n');
        }
        out.push('\n');
    }
    out
}
