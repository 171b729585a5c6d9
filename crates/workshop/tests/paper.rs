//! What the sheet says, for boxes with and without phones.
//!
//! Order of trust: physical invariants of the page.

use workshop::plan::{PlanRequest, files, plan};
use workshop::sheet::{SheetRequest, Symbols, sheet};

const NEED: &str = include_str!("../../../examples/attic/need.toml");
const LINE: &str = include_str!("../../sheet/tests/boards/planned/state_variable_line.toml");

/// The sheet of a circuit.
fn page(text: &str) -> String {
    let request = SheetRequest {
        name: "circuit.toml".to_owned(),
        text: text.to_owned(),
        pitch: None,
        speed: None,
        symbols: Symbols::Iec60617,
    };
    sheet(&request).unwrap_or_else(|why| panic!("{why}")).html
}

/// A file of the plan for the shipped need.
fn file(wanted: &str) -> String {
    let name = "need.toml".to_owned();
    let text = NEED.to_owned();
    let outcome = plan(&PlanRequest {
        name,
        text,
        drawer: None,
    })
    .unwrap_or_else(|why| panic!("{why}"));
    let files = files(&outcome).unwrap_or_else(|why| panic!("{why}"));
    let found = files.into_iter().find(|(name, _)| name == wanted);
    found.unwrap_or_else(|| panic!("no {wanted}")).1
}

/// The sheet of the first design for the shipped need.
fn planned() -> String {
    file("sheet.html")
}

/// The words within each element of a kind, in order.
fn within<'a>(html: &'a str, open: &str, close: &str) -> Vec<&'a str> {
    let pieces = html.split(open).skip(1);
    pieces
        .map(|piece| piece.split(close).next().unwrap_or_default())
        .collect()
}

/// A box that feeds a line input is not told about phones; one that drives them is.
#[test]
fn phones_are_named_only_where_there_are_phones() {
    let line = page(LINE);
    assert!(!line.to_lowercase().contains("phones"), "{line}");
    assert!(line.contains("Turn down whatever the box feeds"));
    let driven = planned();
    for words in ["Phones off the ears", "phones unplugged", "NIOSH"] {
        assert!(driven.contains(words), "{words}");
    }
}

/// Every figure on the sheet has a unit and is defined, each once.
#[test]
fn every_figure_has_a_unit_and_a_definition() {
    /// Units a figure may have; a width that lies outside of what is swept says so.
    const UNITS: [&str; 10] = [
        " Hz", " kHz", " dB", " s", " ms", " µs", " V", " mV peak", " mA", " h",
    ];
    for html in [planned(), page(LINE)] {
        let figures = within(&html, "<dl class=\"figures\">", "</dl>");
        let glossary = within(&html, "<dl class=\"glossary\">", "</dl>");
        let names = within(figures[0], "<dt>", "</dt>");
        let values = within(figures[0], "<dd class=\"v\">", "</dd>");
        assert!(names.len() > 8 && names.len() == values.len());
        for value in values {
            let known = UNITS.iter().any(|unit| value.contains(unit)) || value.contains(" %");
            assert!(known, "{value}");
        }
        assert_eq!(within(glossary[0], "<dt>", "</dt>"), names);
        for words in within(glossary[0], "<dd>", "</dd>") {
            assert!(words.split(' ').count() >= 4, "{words}");
        }
    }
}

/// Every direct voltage stands with its tolerance in one unit and to the same place.
#[test]
fn direct_volts_and_their_bands_share_unit_and_places() {
    let html = planned();
    let text: String = within(&html, "<section id=\"assembly\"", "<section id=\"tone\"").concat();
    let mut bands = 0;
    for (at, _) in text.match_indices(" ± ") {
        let before = text[..at].rsplit(' ').next().unwrap_or_default();
        let after = text[at + " ± ".len()..]
            .split(' ')
            .next()
            .unwrap_or_default();
        let places = |number: &str| number.split_once('.').map(|(_, digits)| digits.len());
        assert_eq!(places(after), Some(2), "± {after}");
        let unit = &text[at + " ± ".len() + after.len()..];
        assert!(unit.starts_with(" V"), "± {after}");
        if before == "V" {
            let number = text[..at - " V".len()]
                .rsplit(' ')
                .next()
                .unwrap_or_default();
            assert_eq!(places(number), Some(2), "{number} V ± {after}");
        }
        bands += 1;
    }
    assert!(bands >= 4, "{bands} bands");
}

/// Two routes: the sheet's step between filter and bypass is that of the finding; and a design
/// planned for equal loudness says so. From a source of 10 Ω the phones get more in bypass.
#[test]
fn bypass_is_as_loud_as_the_finding_says() {
    assert!(planned().contains("the filter is as loud as bypass"));
    let text = file("circuit-1.toml");
    let stiffer = text.replacen("impedance = \"100R\"", "impedance = \"10R\"", 1);
    assert!(text != stiffer);
    let html = page(&stiffer);
    let told = |from: &str| {
        within(&html, from, " than bypass")
            .first()
            .map(|s| (*s).to_owned())
    };
    let by_sheet = told("At the pitch the filter is ");
    assert_eq!(by_sheet, told("the filter plays "));
    assert!(by_sheet.is_some_and(|s| s.ends_with("quieter")));
}
