//! What the reader refuses, in which words, and where it points.

use circuit::{Element, read, read_in_place};

use crate::CIRCUITS;

/// A sound file around some parts.
fn file(parts: &str) -> String {
    format!(
        "format = \"narrows circuit 1\"\ninput = \"in\"\noutput = \"out\"\nsupply = {{ voltage = \"9 V\" }}\n{parts}"
    )
}

const R1: &str =
    "[[part]]\nref = \"R1\"\nkind = \"resistor\"\nvalue = \"4k7\"\nbetween = [\"in\", \"out\"]\n";

/// Every hand-written circuit is sound.
#[test]
fn the_hand_written_circuits_read() {
    for (name, text) in CIRCUITS {
        read(name, text).unwrap_or_else(|complaints| panic!("{complaints}"));
    }
}

/// The text under each span is what it says it is.
#[test]
fn places_point_at_the_text() {
    for (name, text) in CIRCUITS {
        let found = read_in_place(name, text).expect("sound");
        assert_eq!(found.places.parts.len(), found.circuit.parts.len());
        for (part, place) in found.circuit.parts.iter().zip(&found.places.parts) {
            assert_eq!(
                text[place.reference.clone()],
                format!("\"{}\"", part.reference)
            );
            let nodes = part.element.nodes();
            assert_eq!(place.nodes.len(), nodes.len(), "{}", part.reference);
            for (&node, span) in nodes.iter().zip(&place.nodes) {
                let there = &text[span.clone()];
                let name = format!("\"{}\"", found.circuit.node_name(node));
                let assumed = span == &place.reference;
                assert!(assumed || there == name, "{there} is not {name}");
            }
            if matches!(
                part.element,
                Element::Resistor { .. } | Element::Capacitor { .. }
            ) {
                assert!(
                    text[place.value.clone()].starts_with('"'),
                    "{}",
                    part.reference
                );
            }
        }
    }
}

/// One slip, and the words and the place of the complaint: (line, found, allowed or advice).
fn check(text: &str, place: (usize, usize), words: &[&str]) {
    let complaints = read("c.toml", text).expect_err(text);
    let first = &complaints.list()[0];
    let sentence = first.sentence();
    assert_eq!(complaints.list().len(), 1, "{complaints}");
    assert_eq!(
        complaints.line_column(first.span.start),
        place,
        "{complaints}"
    );
    for word in words {
        assert!(sentence.contains(word), "{word:?} is not in {sentence:?}");
    }
}

/// Slips in one part, against the sound one above; the part begins on line 5.
#[test]
fn slips_are_named_where_they_stand() {
    let with = |from: &str, to: &str| file(&R1.replace(from, to));
    check(&with("4k7", "4x7"), (8, 11), &["4x7", "a resistance"]);
    check(
        &with("resistor", "resistro"),
        (7, 8),
        &["resistro", "resistor"],
    );
    check(&with("value", "vaule"), (8, 1), &["vaule", "write value"]);
    check(
        &with("[\"in\", \"out\"]", "[\"in\"]"),
        (9, 11),
        &["a list of 1", "two nodes"],
    );
    check(
        &with("[\"in\", \"out\"]", "[\"in\", \"out\", \"x\"]"),
        (9, 11),
        &["a list of 3"],
    );
    check(&with("\"out\"]", "\"\"]"), (9, 11), &["node name \"\""]);
    check(&with("\"R1\"", "\"1R\""), (6, 7), &["1R", "R1, C2 or U1A"]);
    check(&with("\"R1\"", "5"), (6, 7), &["number 5", "text"]);
    check(
        &with("value = \"4k7\"\n", ""),
        (5, 1),
        &["no \"value\"", "4k7"],
    );
    check(
        &with("between", "betwen"),
        (9, 1),
        &["betwen", "write between"],
    );
    check(
        &file(&format!("{R1}tolerance = \"-1 %\"\n")),
        (10, 14),
        &["1 %"],
    );
    check(
        &file(&format!("{R1}colour = \"red\"\n")),
        (10, 1),
        &["colour", "take it out"],
    );
}

/// Slips in an op-amp.
#[test]
fn op_amps_are_checked_too() {
    let sound = "[[part]]\nref = \"U1A\"\nkind = \"opamp\"\ntype = \"TL072\"\nplus = \"in\"\nminus = \"out\"\nout = \"out\"\n";
    assert!(read("c.toml", &file(sound)).is_ok());
    let with = |from: &str, to: &str| file(&sound.replace(from, to));
    check(&with("TL072", "TL702"), (8, 8), &["TL702", "TL072"]);
    check(&with("minus = \"out\"\n", ""), (5, 1), &["no \"minus\""]);
    check(
        &with("\"TL072\"", "{ gain = \"100 dB\" }"),
        (8, 8),
        &["no \"bandwidth\""],
    );
    let inline = "{ gain = \"100 dB\", bandwidth = \"3 MHz\", slew = \"13 V/µs\", output = { limit = \"20 mA\" } }";
    let read = read("c.toml", &with("\"TL072\"", inline)).unwrap_or_else(|c| panic!("{c}"));
    let Element::Opamp(opamp) = &read.parts[0].element else {
        panic!("{:?}", read.parts[0]);
    };
    assert!((opamp.model.dc_gain / 1e5 - 1.0).abs() < 1e-12);
    assert!((opamp.model.slew_v_per_s / 13e6 - 1.0).abs() < 1e-12);
    check(
        &with("\"TL072\"", &inline.replace("slew", "slw")),
        (8, 48),
        &["slw", "write slew"],
    );
}

/// Slips around the parts.
#[test]
fn the_frame_is_checked_too() {
    let sound = file(R1);
    let with = |from: &str, to: &str| sound.replace(from, to);
    check(&with("input = \"in\"\n", ""), (1, 1), &["no \"input\""]);
    check(
        &with("supply = { voltage", "supply = { volt"),
        (4, 12),
        &["volt", "write voltage"],
    );
    check(
        &with("9 V\" }", "9 V\", lowest = \"12 V\" }"),
        (4, 38),
        &["12 V", "at most"],
    );
    check(&with("circuit 1", "circuit 2"), (1, 10), &["newer"]);
    check(&with("circuit 1", "need 1"), (1, 10), &["need"]);
    check(&file(""), (1, 1), &["no \"part\""]);
    check(
        &with("output", "outptu"),
        (3, 1),
        &["outptu", "write output"],
    );
}

/// Tables of the need may stand in a circuit's file, whatever is in them.
#[test]
fn wishes_are_tolerated() {
    let text = file(&format!(
        "{R1}[listening]\npitch = \"650 Hz\"\n[levels]\nsignal = 5\n"
    ));
    assert!(read("c.toml", &text).is_ok());
}

/// All slips come at once, in the order of the file.
#[test]
fn all_slips_come_at_once() {
    let text = file(&format!(
        "{}{}",
        R1.replace("4k7", "4x7"),
        R1.replace("resistor", "coil")
    ));
    let complaints = read("c.toml", &text).expect_err("two slips");
    assert_eq!(complaints.list().len(), 2, "{complaints}");
}
