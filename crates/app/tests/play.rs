//! Playing the commands that documents tell one to type.

use crate::run::{narrows_in, root, text, trouble};
use std::fs;
use std::path::Path;

/// What a line typed in `folder` prints: `narrows …` with or without `| head -n N`, or `cat FILE`.
/// Complaints count as printed, as on a terminal.
pub(crate) fn shown(line: &str, folder: &Path) -> String {
    let mut typed = words(line);
    let head = typed.iter().position(|w| w == "|").map(|bar| {
        let piped = typed.split_off(bar);
        assert!(
            piped.len() == 4 && piped[1] == "head" && piped[2] == "-n",
            "{line}"
        );
        piped[3].parse::<usize>().unwrap()
    });
    let printed = match typed[0].as_str() {
        "narrows" => {
            let output = narrows_in(folder, &typed[1..]);
            format!("{}{}", text(&output), trouble(&output))
        }
        "cat" => std::fs::read_to_string(folder.join(&typed[1])).unwrap(),
        other => panic!("documents type narrows and cat, not {other}: {line}"),
    };
    let lines = printed.lines().take(head.unwrap_or(usize::MAX));
    lines.map(|l| format!("{l}\n")).collect()
}

/// The words of a line; double quotes keep blanks inside one.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let (mut word, mut quoted, mut begun) = (String::new(), false, false);
    for c in line.chars() {
        match c {
            '"' => (quoted, begun) = (!quoted, true),
            ' ' if !quoted => {
                if begun {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            _ => {
                word.push(c);
                begun = true;
            }
        }
    }
    assert!(!quoted, "a quotation without an end: {line}");
    if begun {
        words.push(word);
    }
    words
}

/// Asserts that a document tells what was played, or writes it anew when that is asked for.
pub(crate) fn blessed(file: &Path, told: &str, played: &str) {
    if std::env::var_os("NARROWS_BLESS").is_some() {
        std::fs::write(file, played).unwrap();
    } else {
        assert_eq!(told, played, "{} is out of date", file.display());
    }
}

/// Puts a copy of the shipped examples into a folder, where commands may change them.
pub(crate) fn examples_in(folder: &Path) {
    copy(&root().join("examples"), &folder.join("examples"));
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (source, target) = (entry.path(), to.join(entry.file_name()));
        if source.is_dir() {
            copy(&source, &target);
        } else {
            fs::copy(&source, &target).unwrap();
        }
    }
}
