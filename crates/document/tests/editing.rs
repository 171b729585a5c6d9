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

/// Round trip: what is added is taken out again and leaves the text as it was, whatever the line
/// ends, the indent, and the kind of table.
#[test]
fn an_entry_comes_and_goes() {
    let part = |k: usize| vec!["part".into(), k.into()];
    for (table, after, added) in [
        (part(0), "value", "\t# hot\r\n  tolerance = \"1 %\"\r\n"),
        (part(1), "value", "\"10k\"\r\ntolerance = \"1 %\"\r\n# end"),
        (vec!["source".into()], "z", "z = 1, tolerance = \"1 %\" }"),
        (
            vec!["source".into()],
            "impedance",
            "ohm', tolerance = \"1 %\", z",
        ),
        (vec![], "format", "# first\r\ntolerance = \"1 %\"\r\n"),
    ] {
        let mut document = Document::parse("t.toml", TEXT).unwrap();
        document
            .add_text(&table, after, "tolerance", "1 %")
            .unwrap();
        assert!(document.text().contains(added), "{}", document.text());
        let again = document.add_text(&table, after, "tolerance", "2 %");
        assert!(again.is_err(), "a key twice");
        document.take_out(&table, "tolerance").unwrap();
        assert_eq!(document.text(), TEXT);
        assert!(document.take_out(&table, "tolerance").is_err());
        assert!(document.add_text(&table, "none", "a", "b").is_err());
        assert_eq!(document.text(), TEXT);
    }
}

/// Contract: the last line of a file needs no line end, and what is alone in its table leaves it
/// empty.
#[test]
fn the_edge_of_a_file_is_no_trouble() {
    let mut document = Document::parse("t.toml", "a = 1\nb = { c = 2 }").unwrap();
    document.add_text(&[], "b", "d", "3").unwrap();
    assert_eq!(document.text(), "a = 1\nb = { c = 2 }\nd = \"3\"");
    document.take_out(&["b".into()], "c").unwrap();
    document.take_out(&[], "d").unwrap();
    document.take_out(&[], "a").unwrap();
    assert_eq!(document.text(), "b = {  }\n");
}
