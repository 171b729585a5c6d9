//! What is wired off the board has class letters and numbers of its own on the sheet.

use std::collections::BTreeSet;
use workshop::sheet::{SheetRequest, Symbols, sheet};

const GOOD: &str = include_str!("data/good-stage.toml");

/// Every word on the sheet that is capital letters followed by digits.
fn designators(text: &str) -> BTreeSet<String> {
    let request = SheetRequest {
        name: "circuit.toml".to_owned(),
        text: text.to_owned(),
        pitch: None,
        speed: None,
        symbols: Symbols::Iec60617,
    };
    let html = sheet(&request)
        .unwrap_or_else(|refusal| panic!("{refusal}"))
        .html;
    let words = html.split(|c: char| !c.is_ascii_alphanumeric());
    words
        .filter(|word| {
            let digits = word.trim_start_matches(|c: char| c.is_ascii_uppercase());
            digits.len() < word.len() && digits.parse::<u32>().is_ok()
        })
        .map(str::to_owned)
        .collect()
}

fn check(found: &BTreeSet<String>, there: &[&str], absent: &[&str]) {
    for word in there {
        assert!(found.contains(*word), "{word} is not on the sheet");
    }
    for word in absent {
        assert!(!found.contains(*word), "{word} is on the sheet");
    }
}

/// Published letters [IEEE-315, §22; Y14-44]: jacks J, switch S, fuse F, test points TP, socket of
/// U1 XU1.
#[test]
fn letters_off_the_board() {
    let found = designators(GOOD);
    check(
        &found,
        &["J1", "J2", "J3", "S1", "F1", "TP1", "XU1"],
        &["J4", "S2", "F2"],
    );
}

/// Published rule [Y14-44, §2.1.3]: parts that are added take the next number above the highest in
/// use, and no gap is closed.
#[test]
fn added_parts_follow_the_highest_number() {
    let with_switch = format!(
        "{GOOD}\n[[part]]\nref = \"S3\"\nkind = \"switch\"\ncommon = \"in\"\n\
         ways = [\"quiet\", \"coupled\"]\nposition = 1\n"
    );
    let found = designators(&with_switch);
    check(&found, &["S3", "S4"], &["S1", "S2"]);
}
