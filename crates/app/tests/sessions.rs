//! The worked sessions in `--help` are what the program really prints.
//!
//! Run with `NARROWS_BLESS=1` to write them anew after a change that was meant.

use crate::run::{narrows, root, text};
use std::fs;

#[test]
fn every_worked_session_is_true() {
    for command in ["check", "plan", "sheet"] {
        let file = root().join(format!("crates/app/sessions/{command}.txt"));
        let told = fs::read_to_string(&file).unwrap();
        let played = play(&told);
        if std::env::var_os("NARROWS_BLESS").is_some() {
            fs::write(&file, &played).unwrap();
        } else {
            assert_eq!(told, played, "the session of {command} is out of date");
        }
    }
}

/// The session with every line after `$ narrows …` replaced by what the command prints.
fn play(session: &str) -> String {
    let mut out = String::from("A worked session\n\n");
    for line in session.lines().filter(|l| l.starts_with("  $ ")) {
        out.push_str(line);
        out.push('\n');
        let words: Vec<&str> = line[4..].split_whitespace().skip(1).collect();
        let shown = match words.iter().position(|&w| w == "|") {
            Some(bar) => head(&text(&narrows(&words[..bar])), words[bar + 3]),
            None => text(&narrows(&words)),
        };
        for printed in shown.lines() {
            out.push_str(format!("  {printed}").trim_end());
            out.push('\n');
        }
        out.push('\n');
    }
    out
}

/// What `| head -n N` leaves.
fn head(text: &str, count: &str) -> String {
    let count: usize = count.parse().unwrap();
    text.lines().take(count).map(|l| format!("{l}\n")).collect()
}
