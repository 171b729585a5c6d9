//! Lengths of Morse against the code itself and against printed lists.

use units::Wpm;

fn check(what: &str, found: f64, printed: f64, decimals: i32) {
    // Half a unit of the last place printed, and some roundings.
    let allowed = 0.5 * 10.0_f64.powi(-decimals) * (1.0 + 1e-9);
    assert!(
        (found - printed).abs() <= allowed,
        "{what}: {found} against {printed}"
    );
}

/// Units of a word with the space after it: a dot 1, a dash 3, one unit between elements, three
/// between letters, seven after the word [M1677, Annex 1 §2].
fn units_of(word: &[&str]) -> f64 {
    let letter = |code: &&str| -> usize {
        let marks: usize = code.chars().map(|c| if c == '-' { 3 } else { 1 }).sum();
        marks + code.len() - 1
    };
    let letters: usize = word.iter().map(letter).sum();
    (letters + 3 * (word.len() - 1) + 7) as f64
}

/// Published rule: PARIS has 50 units, so a minute holds as many of them as the speed says. The
/// letters are those of [M1677, §1.1.1]; CODEX with its 60 units shows that the counting is right
/// (read in public texts; counted).
#[test]
fn a_minute_holds_as_many_words_as_the_speed_says() {
    let paris = units_of(&[".--.", ".-", ".-.", "..", "..."]);
    let codex = units_of(&["-.-.", "---", "-..", ".", "-..-"]);
    check("PARIS", paris, 50.0, 0);
    check("CODEX", codex, 60.0, 0);
    for speed in [5.0, 22.0, 37.5] {
        check("words", 60.0 / (paris * Wpm(speed).dit().0), speed, 9);
    }
}

/// Published rule dit = 1200/wpm ms (read in a public text), list recomputed.
#[test]
fn dits_of_the_usual_speeds() {
    for (speed, milliseconds, decimals) in [
        (5.0, 240.0, 9),
        (12.0, 100.0, 9),
        (13.0, 92.31, 2),
        (15.0, 80.0, 9),
        (18.0, 66.67, 2),
        (20.0, 60.0, 9),
        (25.0, 48.0, 9),
        (30.0, 40.0, 9),
        (40.0, 30.0, 9),
    ] {
        let dit = 1e3 * Wpm(speed).dit().0;
        check("dit, ms", dit, milliseconds, decimals);
    }
}

/// Published list: wpm/1.2 for the 50-unit word [PIERPONT, ch. 24].
#[test]
fn keying_speeds_in_baud() {
    for (speed, baud, decimals) in [
        (12.0, 10.0, 9),
        (15.0, 12.5, 9),
        (20.0, 16.667, 3),
        (25.0, 20.833, 3),
        (30.0, 25.0, 9),
    ] {
        check("baud", Wpm(speed).baud(), baud, decimals);
    }
}
