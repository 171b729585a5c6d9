//! Schematics against the netlists they were drawn from.
//!
//! The judge reads the finished drawing only: lines of the wire layer, dots, pins and
//! labels. Nothing of how the layout was made is used.

mod boards;
mod tracing;

use circuit::Circuit;
use sheet::{Layer, Schematic, SchematicStyle, Shape, Symbols, schematic, svg};

fn each(mut check: impl FnMut(&str, &Circuit, &Schematic)) {
    for (name, circuit) in boards::all() {
        for symbols in [Symbols::Iec60617, Symbols::Ieee315] {
            for width in [90.0, 180.0, 260.0] {
                let style = SchematicStyle {
                    symbols,
                    width,
                    ..SchematicStyle::default()
                };
                let name = format!("{name}, {symbols:?}, {width} mm");
                check(&name, &circuit, &schematic(&circuit, &style));
            }
        }
    }
}

/// Physical invariant: the nets traced on the paper are the nets of the netlist.
#[test]
fn what_is_drawn_is_what_is_connected() {
    each(|name, circuit, drawn| {
        let found = tracing::nets(circuit, drawn);
        assert_eq!(found, tracing::expected(circuit), "{name}");
    });
}

/// Physical invariant: every pin of every part is on the paper once.
#[test]
fn every_part_is_drawn_once() {
    each(|name, circuit, drawn| {
        for (index, part) in circuit.parts.iter().enumerate() {
            let pins = if part.element.kind() == "opamp" {
                3
            } else {
                part.element.nodes().len()
            };
            for pin in 0..pins {
                let count = drawn
                    .pins
                    .iter()
                    .filter(|p| p.part == index && p.pin == pin)
                    .count();
                assert_eq!(count, 1, "{name}: {} pin {pin}", part.reference);
            }
            let words = drawn
                .drawing
                .marks
                .iter()
                .filter(|m| match &m.shape {
                    Shape::Text(t) => t.words.split(' ').next() == Some(&part.reference),
                    _ => false,
                })
                .count();
            let package = part.element.kind() == "opamp" && part.reference == "U1";
            assert!(
                words == 1 || package,
                "{name}: {} named {words} times",
                part.reference
            );
        }
    });
}

/// Drawing rule (IEC 60617 and common practice): four wires never meet in one point.
#[test]
fn no_four_wires_meet() {
    each(|name, _, drawn| {
        let worst = tracing::most_arms(drawn);
        assert!(worst <= 3, "{name}: {worst} wires meet in one point");
    });
}

/// Drawing rule (IEC 60617 and IEEE 315, from memory): wires that join carry a dot, and
/// wires that only cross carry none.
#[test]
fn dots_stand_where_wires_join_and_nowhere_else() {
    each(|name, _, drawn| {
        let wrong = tracing::wrong_dots(drawn);
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
    });
}

/// Physical invariant: words cover no wire, no symbol and no other words.
#[test]
fn words_are_clear_of_everything() {
    each(|name, _, drawn| {
        assert_eq!(drawn.crowded, 0, "{name}");
        let clashes = tracing::clashes(drawn);
        assert!(clashes.is_empty(), "{name}: {clashes:?}");
    });
}

/// Physical invariant: no symbol and no bar of a name lies on a wire it does not end.
#[test]
fn symbols_and_wires_keep_apart() {
    each(|name, _, drawn| {
        let found = tracing::collisions(drawn);
        assert!(found.is_empty(), "{name}: {found:?}");
    });
}

/// Limit of the page: words are at least 2 mm tall in font size, and within the paper.
#[test]
fn words_are_large_enough_and_on_the_paper() {
    each(|name, _, drawn| {
        for mark in &drawn.drawing.marks {
            let e = mark.shape.extent();
            let on = e.left >= 0.0
                && e.top >= 0.0
                && e.right <= drawn.drawing.width
                && e.bottom <= drawn.drawing.height;
            assert!(on, "{name}: {mark:?} is off the paper");
            if let Shape::Text(text) = &mark.shape {
                assert!(text.size >= 2.0, "{name}: {text:?}");
            }
        }
    });
}

/// Round trip: two drawings of one circuit are the same text, and it is valid XML.
#[test]
fn svg_is_valid_and_always_the_same() {
    for (name, circuit) in boards::all() {
        let style = SchematicStyle::default();
        let first = svg(&schematic(&circuit, &style).drawing);
        let second = svg(&schematic(&circuit, &style).drawing);
        assert_eq!(first, second, "{name}");
        let document = roxmltree::Document::parse(&first).expect("valid XML");
        assert_eq!(document.root_element().tag_name().name(), "svg");
        let wires = document.descendants().filter(|n| n.has_tag_name("line"));
        assert!(wires.count() > 3, "{name}");
    }
}

/// Closed form: every stage we plan can be drawn flat, and is: the twin-T with its legs
/// apart, two op-amps as an inductor with the second one turned over, loops of three. Of a
/// twin-T with a follower under its legs the output is shut in, and must cross once.
#[test]
fn no_stage_we_plan_has_a_crossing() {
    for (name, circuit) in boards::all() {
        let least = usize::from(name == "twin_t_buffered");
        if name != "odd" {
            let drawn = schematic(&circuit, &SchematicStyle::default());
            assert_eq!(tracing::crossings(&drawn), least, "{name}");
        }
    }
}

/// Hostile names are escaped, not believed.
#[test]
fn names_are_escaped() {
    let mut circuit = boards::mfb(1);
    circuit.title = "<script>alert('x')</script> & \"more\"".to_owned();
    circuit.nodes[2] = "a<b&c".to_owned();
    let drawn = schematic(&circuit, &SchematicStyle::default());
    let text = svg(&drawn.drawing);
    let document = roxmltree::Document::parse(&text).expect("valid XML");
    assert!(!document.descendants().any(|n| n.has_tag_name("script")));
    let labels = drawn.drawing.marks.iter();
    assert!(labels.clone().any(|m| m.layer == Layer::Label));
}

/// Generator biased to the awkward: parts thrown between few nodes, several amplifiers,
/// floating trees and doubled parts; the seed is fixed.
#[test]
fn tangled_netlists_are_drawn_rightly() {
    let mut seed: u64 = 20_261_125;
    let mut next = move |below: usize| {
        // Knuth's MMIX constants (The Art of Computer Programming, vol. 2, 3.3.4; from memory)
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % below
    };
    let names = [
        "in", "out", "0", "mid", "vcc", "a", "b", "c", "d", "e", "f", "g", "h", "k",
    ];
    for round in 0..400 {
        let nodes = 5 + next(names.len() - 4);
        let mut lines = String::new();
        for part in 1..=3 + next(14) {
            let (a, b, c) = (names[next(nodes)], names[next(nodes)], names[next(nodes)]);
            lines += &match next(9) {
                0..=3 => format!("R{part} 10k {a} {b}\n"),
                4 | 5 => format!("C{part} 10n {a} {b}\n"),
                6 => format!("D{part} {a} {b}\n"),
                8 if next(2) == 0 => format!("R{part} 10k {a} {b} {c}\n"),
                7 if next(4) == 0 => format!("S{part} {a} {b} {c}\n"),
                _ => format!("U{part} {a} {b} n{part}\nR9{part} 10k n{part} {c}\n"),
            };
        }
        let circuit = boards::board("tangle", "in", "out", &lines);
        let drawn = schematic(&circuit, &SchematicStyle::default());
        assert_eq!(
            tracing::nets(&circuit, &drawn),
            tracing::expected(&circuit),
            "round {round}:\n{lines}"
        );
    }
}

/// Physical invariant: a drawing cut for pages loses no mark, cuts none through, and each
/// piece fits unless a single row is taller.
#[test]
fn pieces_hold_everything() {
    each(|name, _, drawn| {
        let whole = drawn.drawing.marks.len();
        for tallest in [90.0, 150.0, 212.0] {
            let pieces = drawn.drawing.clone().split(tallest);
            let sum: usize = pieces.iter().map(|p| p.marks.len()).sum();
            assert_eq!(sum, whole, "{name}");
            for piece in &pieces {
                let e = piece.extent().expect("marks");
                assert!(e.top >= 0.0 && e.bottom <= piece.height, "{name}");
                let single = || piece.clone().split(0.0).len() == 1;
                let fits = piece.height <= tallest || (tallest < 200.0 && single());
                assert!(fits, "{name}: {} mm", piece.height);
                let symbols = piece.marks.iter().any(|m| m.layer == Layer::Symbol);
                assert!(symbols, "{name}: a piece of words only");
            }
        }
    });
}
