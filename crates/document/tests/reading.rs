//! What the getters give, and how complaints point at what is wrong.

use document::{Complaints, Document, Table};
use units::{Decibels, Hertz, Ohms};

/// Reads a text as a test file and gives what the closure gives.
fn read<T>(text: &str, reader: impl FnOnce(&Table<'_>) -> Option<T>) -> Result<T, Complaints> {
    Document::parse("t.toml", text)?.read("narrows test", 1, reader)
}

/// The complaints about a text, one a line.
#[track_caller]
fn complaints<T: std::fmt::Debug>(
    text: &str,
    reader: impl FnOnce(&Table<'_>) -> Option<T>,
) -> String {
    read(text, reader).expect_err("a complaint").to_string()
}

const HEAD: &str = "format = \"narrows test 1\"\n";

#[test]
fn every_type_is_read() {
    let text = format!(
        "{HEAD}name = \"a\"\non = true\nx = 3\ny = 2.5\nr = \"4k7\"\nbare = 470\nf = 650.5\n\
         list = [\"a\", 'b']\nats = [\"1k\", 650]\nload = {{ impedance = \"10k\" }}\n\
         kind = \"two\"\n[deep]\ng = \"0 dB\"\n[[part]]\nref = \"R1\"\n[[part]]\nref = \"R2\"\n\
         [dotted]\na.b = 1\n"
    );
    read(&text, |root| {
        assert_eq!(root.text("name").required()?, "a");
        assert!(root.flag("on").required()?);
        assert_eq!(root.whole("x", 1, 4).required()?, 3);
        assert_eq!(root.number("y").required()?.to_bits(), 2.5f64.to_bits());
        assert_eq!(root.quantity::<Ohms>("r").required()?, Ohms(4700.0));
        assert_eq!(root.quantity::<Ohms>("bare").required()?, Ohms(470.0));
        assert_eq!(root.quantity::<Hertz>("f").required()?, Hertz(650.5));
        let list: Vec<&str> = root
            .texts("list")
            .required()?
            .iter()
            .map(|s| s.value)
            .collect();
        assert_eq!(list, ["a", "b"]);
        let ats: Vec<f64> = root
            .quantities::<Hertz>("ats")
            .required()?
            .iter()
            .map(|s| s.value.0)
            .collect();
        assert_eq!(ats, [1000.0, 650.0]);
        let load = root.table("load").required()?;
        assert_eq!(load.quantity::<Ohms>("impedance").required()?, Ohms(10e3));
        assert_eq!(
            root.choice("kind", &[("one", 1), ("two", 2)]).required()?,
            2
        );
        let deep = root.table("deep").required()?;
        assert_eq!(deep.quantity::<Decibels>("g").required()?, Decibels(0.0));
        let refs: Vec<&str> = root
            .tables("part")
            .required()?
            .iter()
            .filter_map(|part| part.text("ref").required())
            .collect();
        assert_eq!(refs, ["R1", "R2"]);
        let dotted = root.table("dotted").required()?.table("a").required()?;
        assert_eq!(dotted.whole("b", 0, 1).required()?, 1);
        assert_eq!(root.text("absent").optional(), None);
        assert_eq!(root.text("absent").or("fallback"), "fallback");
        Some(())
    })
    .unwrap();
}

#[test]
fn a_misread_value_is_pointed_at_within_its_quotes() {
    let text = format!("{HEAD}r = \"10 mΩ\"\n");
    let found = read(&text, |t| t.quantity::<Ohms>("r").required()).unwrap_err();
    let complaint = &found.list()[0];
    assert_eq!(&text[complaint.span.clone()], "m");
    assert_eq!(found.line_column(complaint.span.start), (2, 9));
    assert!(complaint.advice.contains("10 MΩ"), "{}", complaint.advice);
}

#[test]
fn escapes_fall_back_to_the_whole_value() {
    let text = format!("{HEAD}r = \"10\\u0020m\"\n");
    let found = read(&text, |t| t.quantity::<Ohms>("r").required()).unwrap_err();
    assert_eq!(&text[found.list()[0].span.clone()], "\"10\\u0020m\"");
}

#[test]
fn all_complaints_come_in_the_order_of_the_file() {
    let text = format!("{HEAD}a = 1\nb = \"x\"\nextra = 0\n");
    let all = complaints(&text, |t| {
        let b = t.number("b").required();
        let a = t.text("a").required();
        let c = t.flag("c").required();
        Some((a?.len(), b?, c?))
    });
    assert_eq!(
        all,
        "t.toml:1:1: found no \"c\"; allowed here: c = a value; add a line c = a value\n\
         t.toml:2:5: found the number 1; allowed here: a text in double quotes; give a as a text \
         in double quotes\n\
         t.toml:3:5: found the text \"x\"; allowed here: a plain number, without quotes; give b \
         as a plain number, without quotes"
    );
}

#[test]
fn an_unknown_key_is_refused_with_the_nearest_suggested() {
    let text = format!("{HEAD}pitch = \"650 Hz\"\nwidht = \"180 Hz\"\ncolour = 1\n");
    let all = complaints(&text, |t| {
        t.quantity::<Hertz>("pitch").required()?;
        t.quantity::<Hertz>("width").optional();
        Some(())
    });
    assert_eq!(
        all,
        "t.toml:3:1: found the unknown key \"widht\"; allowed here: format, pitch, width; write \
         width\n\
         t.toml:4:1: found the unknown key \"colour\"; allowed here: format, pitch, width; take \
         it out, or make it a comment with #"
    );
}

#[test]
fn unknown_keys_in_deep_tables_are_seen() {
    let text = format!("{HEAD}[[part]]\nref = \"R1\"\nvalu = 3\n[[part]]\nref = \"R2\"\n");
    let all = complaints(&text, |t| {
        for part in t.tables("part").required()? {
            part.text("ref").required()?;
            part.number("value").optional();
        }
        Some(())
    });
    assert!(
        all.starts_with("t.toml:4:1: found the unknown key \"valu\""),
        "{all}"
    );
}

#[test]
fn a_missing_key_is_pointed_at_in_its_own_table() {
    let text = format!("{HEAD}[[part]]\nref = \"R1\"\n[[part]]\nkind = \"x\"\n");
    let all = complaints(&text, |t| {
        let mut refs = Vec::new();
        for part in t.tables("part").required()? {
            part.text("kind").optional();
            refs.push(part.text("ref").required_as("\"R1\""));
        }
        refs.into_iter().collect::<Option<Vec<_>>>().map(|_| ())
    });
    assert_eq!(
        all,
        "t.toml:4:1: found no \"ref\"; allowed here: ref = \"R1\"; add a line ref = \"R1\""
    );
}

#[test]
fn a_choice_suggests_the_nearest_word() {
    let text = format!("{HEAD}kind = \"resister\"\n");
    let all = complaints(&text, |t| {
        t.choice("kind", &[("capacitor", 1), ("resistor", 2)])
            .required()
    });
    assert!(
        all.ends_with("allowed here: capacitor, resistor; write \"resistor\""),
        "{all}"
    );
}

#[test]
fn ranges_are_held() {
    let text = format!("{HEAD}r = 0\ns = \"10k\"\nn = 7\n");
    let all = complaints(&text, |t| {
        let r = t.quantity::<Ohms>("r").positive().required();
        let s = t
            .quantity::<Ohms>("s")
            .within(Ohms(1.0), Ohms(1e3))
            .required();
        let n = t.whole("n", 1, 4).required();
        Some((r?, s?, n?))
    });
    assert_eq!(all.lines().count(), 3, "{all}");
    assert!(
        all.contains("found 0 Ω; allowed here: a resistance above zero"),
        "{all}"
    );
    assert!(
        all.contains("found 10 kΩ; allowed here: 1 Ω to 1 kΩ"),
        "{all}"
    );
    assert!(
        all.contains("found the number 7; allowed here: a whole number from 1 to 4"),
        "{all}"
    );
}

#[test]
fn the_format_line_is_held() {
    let cases = [
        ("x = 1\n", "1:1: found no \"format\""),
        (
            "format = \"narrows test 2\"\n",
            "1:10: found version 2 of this format, newer than",
        ),
        (
            "format = \"narrows need 1\"\n",
            "1:10: found a file of the kind \"narrows need\"",
        ),
        (
            "format = \"narrows test\"\n",
            "1:10: found the format \"narrows test\"",
        ),
        (
            "format = \"narrows test 0\"\n",
            "1:10: found the format \"narrows test 0\" without",
        ),
        ("format = 1\n", "1:10: found the number 1"),
        ("", "1:1: found no \"format\""),
    ];
    for (text, start) in cases {
        let all = complaints(text, |t| {
            t.number("x").optional();
            Some(())
        });
        assert!(all.starts_with(&format!("t.toml:{start}")), "{text}: {all}");
        assert!(all.contains("narrows test 1"), "{text}: {all}");
    }
}

/// A text, where its complaint stands, and words of what was found and what to do.
type Slip = (&'static str, &'static str, &'static str, &'static str);

#[track_caller]
fn check_syntax(cases: &[Slip]) {
    for (text, place, found, advice) in cases {
        let complaints = Document::parse("t.toml", text).expect_err(text);
        let all = complaints.to_string();
        assert!(all.starts_with(&format!("t.toml:{place}")), "{text}: {all}");
        assert!(complaints.list()[0].found.contains(found), "{text}: {all}");
        assert!(
            complaints.list()[0].advice.contains(advice),
            "{text}: {all}"
        );
    }
}

#[test]
fn values_without_straight_quotes_are_explained() {
    check_syntax(&[
        (
            "a = 4k7\n",
            "1:5",
            "the value 4k7 without quotes",
            "write \"4k7\"",
        ),
        (
            "a = 650 Hz # pitch\n",
            "1:5",
            "the value 650 Hz without",
            "\"650 Hz\"",
        ),
        (
            "x = { v = 4k7, w = 1 }\n",
            "1:11",
            "the value 4k7 without",
            "\"4k7\"",
        ),
        ("x = [in, a]\n", "1:6", "the value in without", "\"in\""),
        (
            "x = [\n  \"in\",\n  out\n]\n",
            "3:3",
            "the value out without",
            "\"out\"",
        ),
        ("a = “4k7”\n", "1:5", "curly quotes", "write \"4k7\""),
    ]);
}

#[test]
fn other_slips_of_syntax_are_explained() {
    check_syntax(&[
        (
            "a = \"x\nb = 1\n",
            "1:7",
            "quotes do not close",
            "at its end",
        ),
        (
            "a = \"C:\\data\"\n",
            "1:",
            "a \\ before a letter",
            "write \\\\ for \\",
        ),
        (
            "a = 1\na = 2\n",
            "2:1",
            "\"a\" a second time",
            "take one of the two out",
        ),
        (
            "[[p]]\n[p]\n",
            "2:2",
            "\"p\" a second time",
            "double brackets",
        ),
        ("[a\nb = 1\n", "1:3", "no ] to close", "put ]"),
        ("a = [1, 2\n", "1:", "no ] to close", "put ]"),
        ("a = { b = 1\n", "1:", "no } to close", "put }"),
        ("a 1\n", "1:3", "a key without a value", "key = \"value\""),
        (
            "a = 1 2\n",
            "1:5",
            "the value 1 2 without quotes",
            "\"1 2\"",
        ),
        ("= 3\n", "1:1", "a slip in the writing", "mend the line"),
    ]);
}

#[test]
fn columns_count_characters_not_bytes() {
    let text =
        format!("{HEAD}title = \"µµµ\" # Ω\nload = {{ \"µ\" = 1, x = \"ä\", r = \"1x\" }}\n");
    let found = read(&text, |t| {
        t.text("title").required()?;
        let load = t.table("load").required()?;
        load.number("µ").required();
        load.text("x").required();
        load.quantity::<Ohms>("r").required()
    })
    .unwrap_err();
    assert_eq!(found.line_column(found.list()[0].span.start), (3, 34));
}

/// A byte-order mark and Windows line ends shift neither lines nor carets.
#[test]
fn byte_order_marks_and_carriage_returns_are_taken() {
    let text = "\u{feff}format = \"narrows test 1\"\r\nr = \"10m\"\r\n";
    let found = read(text, |t| t.quantity::<Ohms>("r").required()).expect_err("milliohm");
    let span = found.list()[0].span.clone();
    assert_eq!(&text[span.clone()], "m");
    assert_eq!(found.line_column(span.start), (2, 8));
}

/// Invariant: the time grows with the length of a file, not with the square of it.
#[test]
fn long_files_are_read_in_one_walk() {
    let text = format!("{HEAD}{}", "[[part]]\nvalu = \"4k7\"\n".repeat(20_000));
    let found = read(&text, |t| {
        let parts = t.tables("part").required()?;
        let value = |part: &Table<'_>| part.quantity::<Ohms>("value").required();
        Some(parts.iter().filter_map(value).count())
    })
    .expect_err("20 000 slips of the pen");
    assert_eq!(found.list().len(), 20_000);
    assert_eq!(found.to_string().lines().count(), 20_000);
    assert_eq!(
        found.line_column(found.list()[19_999].span.start),
        (40_001, 1)
    );
}
