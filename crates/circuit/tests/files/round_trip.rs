//! What is written reads back to the same circuit.

use circuit::{read, write};
use testkit::awkward::Stream;

use crate::CIRCUITS;
use crate::invented;

/// Round trip: two thousand invented circuits, every kind and key among them.
#[test]
fn invented_circuits_come_back() {
    let mut stream = Stream::new(0x0c1c_0117);
    for trial in 0..2000 {
        let circuit = invented::circuit(&mut stream).in_reading_order();
        let text = write(&circuit);
        let back = read("circuit.toml", &text);
        let back = back.unwrap_or_else(|complaints| panic!("trial {trial}\n{complaints}\n{text}"));
        assert_eq!(back, circuit, "trial {trial}\n{text}");
    }
}

/// Round trip: the hand-written circuits, and writing twice changes nothing more.
#[test]
fn hand_written_circuits_come_back() {
    for (name, text) in CIRCUITS {
        let circuit = read(name, text).unwrap_or_else(|complaints| panic!("{complaints}"));
        let written = write(&circuit);
        assert_eq!(read(name, &written).as_ref(), Ok(&circuit), "{name}");
        assert_eq!(write(&circuit.in_reading_order()), written, "{name}");
    }
}

/// What a person sees: short values, a heading where a stage begins, nothing superfluous.
#[test]
fn what_is_written_is_tidy() {
    let (_, text) = CIRCUITS[2];
    let written = write(&read("one.toml", text).expect("sound"));
    for line in [
        "source = { impedance = \"100R\" }",
        "supply = { voltage = \"9 V\", lowest = \"7 V\", capacity = \"500 mAh\" }",
        "value = \"2k4\"",
        "tolerance = \"5 %\"",
        "type = \"TL072\"",
    ] {
        assert!(
            written.lines().any(|l| l == line),
            "{line}\nis not in\n{written}"
        );
    }
    let headings: Vec<&str> = written.lines().filter(|l| l.starts_with("# ---")).collect();
    assert_eq!(headings.len(), 4, "{headings:?}");
    assert!(headings[1].starts_with("# --- stage 1 ---"), "{headings:?}");
}
