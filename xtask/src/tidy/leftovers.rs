//! Nothing is left over from the making: no notes to ourselves, no stand-ins, no paths of the
//! machine someone worked on.

use super::complaint::Complaint;
use super::tree::Tree;

/// Words that mean unfinished work. Each is written in two halves so that this file may itself
/// be checked.
const NOTES: [&str; 9] = [
    concat!("to", "do!"),
    concat!("unimpl", "emented!"),
    concat!("db", "g!("),
    concat!("TO", "DO"),
    concat!("FIX", "ME"),
    concat!("XX", "X:"),
    concat!("HA", "CK:"),
    concat!("<<<<", "<<< "),
    concat!(">>>>", ">>> "),
];

/// Folders of somebody's machine.
const PLACES: [&str; 5] = [
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("/wo", "rk/"),
    concat!("/t", "mp/"),
];

/// Files whose words are not ours.
const NOT_OURS: [&str; 2] = ["Cargo.lock", "oracle/requirements.txt"];

/// Looks at every line of every text file.
pub(super) fn check(tree: &Tree) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (path, text) in tree.all().filter(|(path, _)| !NOT_OURS.contains(path)) {
        for (index, line) in text.lines().enumerate() {
            let note = NOTES.iter().find(|note| line.contains(**note));
            let place = PLACES.iter().find(|place| names_place(line, place));
            if let Some(found) = note.or(place) {
                let text = format!("`{found}` is left over: finish it or take it out");
                complaints.push(Complaint::at(path, index + 1, text));
            }
        }
    }
    complaints
}

/// Whether the line names a path that begins with this folder, as against one that merely has a
/// folder of that name inside.
fn names_place(line: &str, place: &str) -> bool {
    line.match_indices(place).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '.' | '_' | '-' | '}' | ')'))
    })
}

#[cfg(test)]
mod tests {
    use super::super::complaint::assert_told;
    use super::super::tree::Tree;
    use super::{NOTES, PLACES, check};

    #[test]
    fn each_note_and_each_place_is_told() {
        for found in NOTES.iter().chain(&PLACES) {
            let text = format!("fine\nlet x = \"{found}y\";\n");
            let told = format!("a.rs:2: `{found}` is left over");
            assert_told(&check(&Tree::of(&[("a.rs", &text)])), &[&told]);
        }
    }

    #[test]
    fn ordinary_words_pass() {
        let text = concat!("the to", "do list, ./wo", "rk/x, a.b/ho", "me/x, autodbg\n");
        assert_told(&check(&Tree::of(&[("a.md", text)])), &[]);
    }
}
