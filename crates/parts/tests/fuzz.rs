//! No drawer file and no marking makes a reader panic; what is said of them holds.
//!
//! 20 000 inputs a run; `NARROWS_FUZZ_RUNS` asks for more. The corpus is ours.

use document::Objection;
use parts::marking::{
    Colour, Marked, ToleranceMark, capacitor_code, read_bands, read_capacitor_code,
    read_resistor_code, read_rkm_capacitor, read_rkm_resistor, resistor_code, rkm_capacitor,
    rkm_resistor,
};
use parts::{Dielectric, Drawer, Series, find_opamp, opamp_type, power_amplifier};
use testkit::fuzz;
use units::Farads;

fn check_drawer(text: &str) {
    match Drawer::read("f.csv", text) {
        Ok(drawer) => {
            let lines = text.lines().count().max(text.matches('\r').count() + 1);
            assert!(drawer.parts.iter().all(|p| (1..=lines).contains(&p.line)));
        }
        Err(complaints) => {
            assert!(!complaints.is_empty());
            for complaint in complaints.list() {
                assert!(text.get(complaint.span.clone()).is_some());
                for words in [&complaint.found, &complaint.allowed, &complaint.advice] {
                    assert!(!words.trim().is_empty(), "{complaint:?}");
                }
            }
        }
    }
}

#[test]
fn fuzz_drawers() {
    let (commas, semicolons) = (
        include_str!("corpus/drawer.csv"),
        include_str!("corpus/drawer_semicolons.csv"),
    );
    let mut corpus = vec![commas, semicolons, "kind,value\nresistor,10k\n"];
    corpus.extend(commas.lines());
    corpus.extend([
        "kind\tvalue\r\n",
        "\u{feff}kind;value\r",
        "\"",
        "\"\"\"",
        "a,\"b\nc\"",
    ]);
    fuzz(0xd2a, 20_000, &corpus, check_drawer);
}

fn said<T>(result: Result<T, Objection>) -> Option<T> {
    match result {
        Ok(value) => Some(value),
        Err(objection) => {
            for words in [objection.found, objection.allowed, objection.advice] {
                assert!(!words.trim().is_empty());
            }
            None
        }
    }
}

/// What is read is a number, and its code, if it has one, reads back to it.
fn check_marking(text: &str) {
    let sound = |si: f64| assert!(si.is_finite() && si >= 0.0, "{si}");
    if let Some(Marked { value, .. }) = said(read_rkm_resistor(text)) {
        sound(value.0);
        let back = rkm_resistor(value).map(|code| said(read_rkm_resistor(&code)).expect(&code));
        assert!(back.is_none_or(|b| (b.value.0 / value.0 - 1.0).abs() < 1e-9));
    }
    if let Some(Marked { value, .. }) = said(read_rkm_capacitor(text)) {
        sound(value.0);
        let back = rkm_capacitor(value).map(|code| said(read_rkm_capacitor(&code)).expect(&code));
        assert!(back.is_none_or(|b| (b.value.0 / value.0 - 1.0).abs() < 1e-9));
    }
    if let Some(value) = said(read_resistor_code(text)) {
        sound(value.0);
        for significant in [2, 3] {
            let code = resistor_code(value, significant);
            let back = code.map(|code| said(read_resistor_code(&code)).expect(&code));
            assert!(back.is_none_or(|b| (b.0 - value.0).abs() <= 1e-9 * value.0));
        }
    }
    for Marked { value, .. } in said(read_capacitor_code(text)).unwrap_or_default() {
        sound(value.0);
        let back = capacitor_code(value).map(|code| said(read_capacitor_code(&code)).expect(&code));
        assert!(back.is_none_or(|b| (b[0].value.0 / value.0 - 1.0).abs() < 1e-9));
    }
    check_words(text);
}

/// Letters, colours and names.
fn check_words(text: &str) {
    for letter in text.chars() {
        said(ToleranceMark::of_resistor(letter));
        said(ToleranceMark::of_capacitor(letter, Farads(1e-12)));
    }
    let bands: Vec<Colour> = text
        .split([' ', '-'])
        .filter_map(|w| said(w.parse()))
        .collect();
    for reading in said(read_bands(&bands)).unwrap_or_default() {
        assert!(reading.value.0.is_finite() && reading.value.0 >= 0.0);
    }
    said(text.parse::<Series>());
    said(text.parse::<Dielectric>());
    said(find_opamp(text));
    let power = power_amplifier(text).is_some();
    assert!(!(power && opamp_type(text).is_some()), "both: {text}");
}

#[test]
fn fuzz_markings() {
    let corpus: Vec<&str> = include_str!("corpus/markings.txt").lines().collect();
    fuzz(0x3a2, 20_000, &corpus, check_marking);
}
