//! No file makes the reader panic, complaints lie in the text, and edits keep the rest.
//!
//! 20 000 inputs a run; `NARROWS_FUZZ_RUNS` asks for more. The corpus is ours.

use document::{Complaints, Document, Table};
use testkit::fuzz;
use units::{Decibels, Hertz, Ohms, Ratio};

/// Asks for every type there is; the keys are those of the corpus.
fn reader(root: &Table<'_>) -> Option<usize> {
    root.text("title").optional();
    root.text("input").required_as("a node's name");
    root.flag("on").optional();
    root.quantities::<Hertz>("at").optional();
    for key in ["source", "load", "listening", "levels", "parts"] {
        let Some(table) = root.table(key).optional() else {
            continue;
        };
        table.quantity::<Ohms>("impedance").positive().required();
        table
            .quantity::<Hertz>("pitch")
            .within(Hertz(200.0), Hertz(2e3))
            .optional();
        let neighbours = table.tables("neighbours").or(Vec::new());
        for neighbour in neighbours {
            neighbour.quantity::<Decibels>("down").required();
        }
    }
    let mut read = 0;
    for part in root.tables("part").required()? {
        part.choice("kind", &[("resistor", 1), ("opamp", 2)])
            .required();
        part.quantity::<Ratio>("tolerance").optional();
        part.texts("between").optional();
        part.whole("position", 0, 9).optional();
        part.number("value").optional();
        part.text("ref").required()?;
        read += 1;
    }
    Some(read)
}

fn check_complaints(complaints: &Complaints) {
    assert!(!complaints.is_empty());
    let mut last = 0;
    for complaint in complaints.list() {
        assert!(complaint.span.start >= last, "out of order");
        last = complaint.span.start;
        assert!(complaints.text().get(complaint.span.clone()).is_some());
        for words in [&complaint.found, &complaint.allowed, &complaint.advice] {
            assert!(!words.trim().is_empty(), "{complaint:?}");
        }
    }
    assert!(complaints.to_string().starts_with("f.toml:"));
}

fn check(text: &str) {
    let mut document = match Document::parse("f.toml", text) {
        Ok(document) => document,
        Err(complaints) => return check_complaints(&complaints),
    };
    assert_eq!(document.text(), text);
    if let Err(complaints) = document.read("narrows test", 1, reader) {
        check_complaints(&complaints);
    }
    let path = ["part".into(), 0.into(), "value".into()];
    if document.set_text(&path, "5k1").is_ok() {
        assert!(document.text().contains("\"5k1\""));
        assert!(document.set_text(&path, "5k1").is_ok());
    } else {
        assert_eq!(document.text(), text);
    }
}

#[test]
fn fuzz_documents() {
    let mut corpus = vec![
        include_str!("corpus/circuit.toml"),
        include_str!("corpus/need.toml"),
    ];
    corpus.extend(include_str!("corpus/pieces.txt").lines());
    fuzz(0xd0c, 20_000, &corpus, check);
}

/// Nesting beyond all reason is refused, not followed until the stack ends.
#[test]
fn deep_nesting_is_refused() {
    let nested = |head: &str, open: &str, tail: &str, close: &str| {
        format!(
            "{head}{}{tail}{}",
            open.repeat(50_000),
            close.repeat(50_000)
        )
    };
    for text in [
        nested("x = ", "[", "1", "]"),
        nested("x = ", "{a=", "1", "}"),
        nested("", "a.", "a = 1", ""),
        nested("[", "a.", "a]", ""),
    ] {
        match Document::parse("f.toml", &text) {
            Ok(_) => panic!("50 000 levels were taken"),
            Err(complaints) => check_complaints(&complaints),
        }
    }
}
