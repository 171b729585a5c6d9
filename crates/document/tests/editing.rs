//! Editing in place leaves every byte but the value's as it was (invariant).

use document::{Document, NoSuchPlace};

const TEXT: &str = "# mine\r\nformat = \"narrows test 1\"   # first\r\n\
    source = { impedance = '100 ohm', z = 1 }\r\n\
    at = [\"1k\", \"2k\"]\r\n\r\n[[part]]\r\n  value =   \"4k7\"\t# hot\r\n\
    [[part]]\r\nvalue = \"10k\"\r\n# end";

#[track_caller]
fn check(path: &[document::Step<'_>], old: &str, new: &str, written: &str) {
    let mut document = Document::parse("t.toml", TEXT).expect("sound TOML");
    document.set_text(path, new).expect("a value there");
    assert_eq!(document.text(), TEXT.replacen(old, written, 1));
}

#[test]
fn one_value_changes_and_nothing_else() {
    check(
        &["part".into(), 0.into(), "value".into()],
        "\"4k7\"",
        "5k1",
        "\"5k1\"",
    );
    check(
        &["part".into(), 1.into(), "value".into()],
        "\"10k\"",
        "12k",
        "\"12k\"",
    );
    check(
        &["source".into(), "impedance".into()],
        "'100 ohm'",
        "50 Ω",
        "\"50 Ω\"",
    );
    check(&["at".into(), 1.into()], "\"2k\"", "3k", "\"3k\"");
    check(
        &["source".into(), "z".into()],
        "z = 1",
        "one",
        "z = \"one\"",
    );
}

#[test]
fn awkward_texts_are_quoted() {
    let mut document = Document::parse("t.toml", "a = 1 # c\n").unwrap();
    for new in [
        "",
        "a\"b",
        "back\\slash",
        "two\nlines",
        "tab\t",
        "'",
        "\"\"\"",
        "\u{1}",
        "µ",
    ] {
        document.set_text(&["a".into()], new).unwrap();
        let read = Document::parse("t.toml", document.text()).unwrap();
        assert_eq!(read.text(), document.text());
        assert!(document.text().ends_with(" # c\n"), "{}", document.text());
    }
}

#[test]
fn a_path_that_leads_nowhere_changes_nothing() {
    let mut document = Document::parse("t.toml", TEXT).unwrap();
    for (path, spelt) in [
        (vec!["none".into()], "none"),
        (
            vec!["part".into(), 2.into(), "value".into()],
            "part[2].value",
        ),
        (vec!["part".into()], "part"),
        (vec!["part".into(), 0.into()], "part[0]"),
        (vec!["at".into(), "x".into()], "at.x"),
        (vec![], ""),
    ] {
        let error = document.set_text(&path, "x").unwrap_err();
        assert_eq!(
            error,
            NoSuchPlace {
                path: spelt.to_owned()
            }
        );
        assert_eq!(document.text(), TEXT);
    }
}
