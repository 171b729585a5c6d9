//! What the pages of the guide show is what the program prints.
//!
//! Every page is played in a folder of its own that holds the shipped examples, command by
//! command from its first to its last. Run with `NARROWS_BLESS=1` to write what is shown anew
//! after a change that was meant.

use crate::play::{blessed, examples_in, shown};
use crate::run::root;
use std::fs;
use std::path::Path;

#[test]
fn every_page_is_true() {
    let folder = root().join("docs/guide");
    let mut pages: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    pages.sort();
    let mut typed = 0;
    for page in pages {
        let told = fs::read_to_string(&page).unwrap();
        let place = tempfile::tempdir().unwrap();
        examples_in(place.path());
        let (played, commands) = played(&told, place.path());
        blessed(&page, &told, &played);
        typed += commands;
    }
    assert!(typed > 0, "no page shows a command");
}

/// The page with what its commands print, and how many there are.
fn played(page: &str, place: &Path) -> (String, usize) {
    let (mut out, mut inside, mut commands) = (String::new(), false, 0);
    for line in page.lines() {
        let fence = line.starts_with("```");
        if inside && !fence {
            if let Some(typed) = line.strip_prefix("$ ") {
                if commands > 0 && !out.ends_with("console\n") {
                    out.push('\n');
                }
                out.push_str(&format!("{line}\n{}", trimmed(&shown(typed, place))));
                commands += 1;
            }
            continue;
        }
        inside = line == "```console";
        out.push_str(line);
        out.push('\n');
    }
    (out, commands)
}

/// Lines without blanks at their ends.
fn trimmed(text: &str) -> String {
    text.lines()
        .map(|l| format!("{}\n", l.trim_end()))
        .collect()
}
