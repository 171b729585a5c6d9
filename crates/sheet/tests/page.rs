//! The printed sheet: self-contained, valid, complete, and safe from hostile words.

mod boards;
mod samples;

use roxmltree::{Document, ParsingOptions};
use sheet::{BuildSheet, assembly_order, parts_csv, parts_list, sheet_html};

fn parsed(html: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(html, options).expect("well-formed")
}

/// Round trip through an independent XML reader: every board's sheet is well-formed and
/// the same twice, without scripts and without anything fetched.
#[test]
fn the_sheet_is_valid_and_fetches_nothing() {
    for (name, circuit) in boards::all() {
        let sheet = samples::sheet(circuit);
        let html = sheet_html(&sheet);
        assert_eq!(html, sheet_html(&sheet), "{name}");
        let document = parsed(&html);
        for node in document.descendants() {
            let tag = node.tag_name().name();
            let fetches = ["script", "link", "img", "iframe", "image", "use"];
            assert!(!fetches.contains(&tag), "{name}: <{tag}>");
            for attribute in node.attributes() {
                let local = attribute.name() != "href" || attribute.value().starts_with('#');
                assert!(local, "{name}: {attribute:?}");
            }
        }
        assert!(!html.contains("url("), "{name}");
        assert!(!html.contains("@import"), "{name}");
    }
}

/// Every link of the contents leads to a section, and every section has a heading.
#[test]
fn contents_lead_to_sections() {
    let html = sheet_html(&samples::sheet(boards::mfb(2)));
    let document = parsed(&html);
    let ids: Vec<&str> = document
        .descendants()
        .filter_map(|n| n.attribute("id"))
        .collect();
    let links = document.descendants().filter_map(|n| n.attribute("href"));
    let mut count = 0;
    for link in links {
        assert!(ids.contains(&&link[1..]), "{link}");
        count += 1;
    }
    assert_eq!(count, 12);
}

/// Published rule (ASME Y14.44-2008, read in a public page [Y14-44]): contact 3 of X1 is X1-3.
#[test]
fn contacts_are_named_by_reference_and_number() {
    let html = sheet_html(&samples::sheet(boards::mfb(2)));
    for contact in ["S1-1", "S1-4"] {
        assert!(html.contains(contact), "{contact}");
    }
}

/// Hostile words in every field arrive as words.
#[test]
fn hostile_words_are_escaped() {
    const EVIL: &str = "<script>alert(1)</script>\"'& \u{1}";
    let mut sheet = samples::sheet(boards::mfb(1));
    sheet.title = EVIL.into();
    sheet.subtitle = EVIL.into();
    sheet.made_by = EVIL.into();
    sheet.assumed = vec![EVIL.into()];
    sheet.cautions = vec![EVIL.into()];
    sheet.notices[0].text = EVIL.into();
    sheet.notices[0].why = EVIL.into();
    sheet.figures[0].name = EVIL.into();
    sheet.figures[0].value = EVIL.into();
    sheet.figures[0].definition = EVIL.into();
    sheet.extras[0].what = EVIL.into();
    sheet.part_notes[0].1 = EVIL.into();
    sheet.circuit.title = EVIL.into();
    sheet.circuit.parts[0].reference = EVIL.into();
    for node in &mut sheet.circuit.nodes[3..] {
        node.push_str(EVIL);
    }
    sheet.test_points[0].name = EVIL.into();
    let html = sheet_html(&sheet);
    let document = parsed(&html);
    assert!(!document.descendants().any(|n| n.has_tag_name("script")));
    let seen = document
        .descendants()
        .filter(|n| n.text().is_some_and(|t| t.contains("alert(1)")));
    assert!(seen.count() >= 14);
}

/// Every part is in the parts list once and in the assembly once.
#[test]
fn no_part_is_forgotten() {
    for (name, circuit) in boards::all() {
        let mut listed: Vec<String> = parts_list(&circuit)
            .into_iter()
            .flat_map(|l| l.references)
            .collect();
        listed.sort();
        let mut owned: Vec<String> = circuit
            .parts
            .iter()
            .map(|p| match p.element.kind() {
                "opamp" => p
                    .reference
                    .trim_end_matches(['A', 'B', 'C', 'D'])
                    .to_owned(),
                _ => p.reference.clone(),
            })
            .collect();
        owned.sort();
        owned.dedup();
        assert_eq!(listed, owned, "{name}");
        for line in parts_list(&circuit) {
            assert_eq!(line.quantity, line.references.len(), "{name}");
        }
        let mut assembled: Vec<usize> = assembly_order(&circuit)
            .into_iter()
            .flat_map(|s| s.parts)
            .collect();
        assembled.sort_unstable();
        assert_eq!(
            assembled,
            (0..circuit.parts.len()).collect::<Vec<_>>(),
            "{name}"
        );
    }
}

/// Published example (IEC 60062, read in a public chart: brown, black, black, brown, brown is 1 kΩ
/// 1 %; 103 is 10 nF): bands and codes of the list, read by eye from the standard's table.
#[test]
fn marks_are_those_of_the_standard() {
    let list = parts_list(&boards::mfb(1));
    let marks = |value: &str| {
        let line = list.iter().find(|l| l.value == value).expect("in the list");
        let bands: Vec<&str> = line.bands.iter().map(|b| b.name()).collect();
        (bands.join(" "), line.code.clone())
    };
    assert_eq!(marks("1 kΩ").0, "brown black black brown brown");
    assert_eq!(marks("240 kΩ").0, "red yellow black orange brown");
    assert_eq!(marks("10 nF").1, "103");
    assert_eq!(marks("100 nF").1, "104");
}

/// Supply before half supply before the sockets before any signal part.
#[test]
fn supply_comes_first() {
    let titles: Vec<String> = assembly_order(&boards::mfb(2))
        .into_iter()
        .map(|s| s.title)
        .collect();
    assert_eq!(
        titles,
        [
            "Supply",
            "Half supply",
            "Sockets for the op-amps",
            "Signal path"
        ]
    );
    let mut circuit = boards::mfb(2);
    for part in &mut circuit.parts {
        let digits = part.reference.as_bytes();
        part.stage = match digits {
            [b'R' | b'C', b'1', _] => Some("1".into()),
            [b'R' | b'C', b'2', _] => Some("2".into()),
            [b'R' | b'C', _] => Some("input".into()),
            _ => Some("output".into()),
        };
    }
    let titles: Vec<String> = assembly_order(&circuit)
        .into_iter()
        .map(|s| s.title)
        .collect();
    assert_eq!(
        titles,
        [
            "Supply",
            "Half supply",
            "Sockets for the op-amps",
            "Input",
            "Stage 1",
            "Stage 2",
            "Output"
        ]
    );
}

/// The comma-separated list has one line a kind of part and reads back.
#[test]
fn the_parts_list_is_plain_csv() {
    let circuit = boards::mfb(2);
    let text = parts_csv(&circuit);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headers = reader.headers().expect("a heading").clone();
    assert_eq!(&headers[0], "quantity");
    assert_eq!(
        reader.records().filter_map(Result::ok).count(),
        parts_list(&circuit).len()
    );
}

/// A sheet with nothing but a circuit is still a sheet.
#[test]
fn a_bare_circuit_makes_a_sheet() {
    let html = sheet_html(&BuildSheet::new(circuit::Circuit::new("empty")));
    parsed(&html);
}
