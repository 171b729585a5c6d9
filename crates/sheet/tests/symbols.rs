//! The shapes of the symbols, counted on finished drawings.

mod boards;

use circuit::Element;
use sheet::{Layer, Schematic, SchematicStyle, Shape, Symbols, schematic};
use std::ops::Range;

/// How many outlines of the symbol layer have so many corners, are closed or not, and are so many
/// times as long as wide.
fn outlines(drawn: &Schematic, corners: usize, closed: bool, slender: Range<f64>) -> usize {
    let shapes = drawn.drawing.marks.iter();
    let symbols = shapes.filter(|m| m.layer == Layer::Symbol);
    symbols
        .filter(|m| match &m.shape {
            Shape::Path {
                points, closed: c, ..
            } => {
                let e = m.shape.extent();
                let sides = (e.right - e.left, e.bottom - e.top);
                let ratio = sides.0.max(sides.1) / sides.0.min(sides.1);
                points.len() == corners && *c == closed && slender.contains(&ratio)
            }
            _ => false,
        })
        .count()
}

/// Standards (from memory) [IEC-60617], [IEEE-315]: a resistor is a rectangle in the one and a zigzag
/// of six teeth in the other; an amplifier is a triangle in both (the first allows it beside its own
/// square). Every resistor and amplifier is drawn so, and nothing else is.
#[test]
fn resistors_and_amplifiers_have_their_standard_shapes() {
    for (name, circuit) in boards::all() {
        let count = |what: fn(&Element) -> bool| {
            let parts = circuit.parts.iter();
            parts.filter(|p| what(&p.element)).count()
        };
        let resistors = count(|e| matches!(e, Element::Resistor { .. } | Element::Pot(_)));
        let triangles = count(|e| matches!(e, Element::Opamp(_) | Element::Diode(_)));
        for (symbols, rectangles, zigzags) in [
            (Symbols::Iec60617, resistors, 0),
            (Symbols::Ieee315, 0, resistors),
        ] {
            let style = SchematicStyle {
                symbols,
                ..SchematicStyle::default()
            };
            let drawn = schematic(&circuit, &style);
            let found = |corners, closed, slender| outlines(&drawn, corners, closed, slender);
            // The supply pins of a package stand in a box of their own, which is stouter.
            assert_eq!(found(4, true, 2.0..3.5), rectangles, "{name} {symbols:?}");
            assert_eq!(found(8, false, 2.0..3.5), zigzags, "{name} {symbols:?}");
            assert_eq!(found(3, true, 0.9..1.6), triangles, "{name} {symbols:?}");
        }
    }
}
