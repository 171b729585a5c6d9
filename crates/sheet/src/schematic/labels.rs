//! Symbols of named nets: 0 V, supply, mid-supply, named flags and terminals.

use super::canvas::{Canvas, LINE, PlacedLabel};
use crate::{Anchor, Extent, Ink, Layer, Mark, Point, Shape, Stroke, Text};

/// Font size of references, values and names, mm; capitals are 2.0 mm tall.
pub(crate) const FONT: f64 = 2.8;

/// What a label stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LabelKind {
    /// 0 V.
    Ground,
    /// A supply rail.
    Supply,
    /// Any other net by its name.
    Named,
}

/// Where the label lies, seen from the wire it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Towards {
    /// Above.
    Up,
    /// Below.
    Down,
    /// To the left.
    Left,
    /// To the right.
    Right,
}

/// Height a label takes below (or above) its wire, mm.
pub(crate) const LABEL_HEIGHT: f64 = 4.6;

/// Draws the symbol of a net at the end of a wire.
pub(crate) fn label(
    canvas: &mut Canvas,
    kind: LabelKind,
    (net, name): (usize, &str),
    at: Point,
    towards: Towards,
) {
    canvas.labels.push((
        PlacedLabel {
            name: name.to_owned(),
            at,
        },
        net,
    ));
    match (kind, towards) {
        (LabelKind::Ground, Towards::Down) => ground(canvas, at),
        _ => bar(canvas, name, at, towards),
    }
}

/// An open triangle pointing down: the 0 V of the circuit, not earth.
fn ground(canvas: &mut Canvas, at: Point) {
    canvas.outline(
        Layer::Label,
        &[at.moved(-1.7, 0.0), at.moved(1.7, 0.0), at.moved(0.0, 2.2)],
        true,
    );
    canvas.body(at.moved(-1.7, 0.0), at.moved(1.7, 2.2));
}

/// A short bar across the end of the wire with the name beyond it.
fn bar(canvas: &mut Canvas, name: &str, at: Point, towards: Towards) {
    let (text, half) = beyond(name, at, towards, 0.7);
    let ends = match towards {
        Towards::Up | Towards::Down => [at.moved(-half, 0.0), at.moved(half, 0.0)],
        Towards::Left | Towards::Right => [at.moved(0.0, -half), at.moved(0.0, half)],
    };
    canvas.outline(Layer::Label, &ends, false);
    canvas.body(ends[0].moved(-0.1, -0.1), ends[1].moved(0.1, 0.1));
    name_text(canvas, text);
}

/// Draws the input or output terminal, an open circle with its words beside it.
pub(crate) fn terminal(
    canvas: &mut Canvas,
    (net, name): (usize, &str),
    words: &str,
    at: Point,
    towards: Towards,
) {
    canvas.labels.push((
        PlacedLabel {
            name: name.to_owned(),
            at,
        },
        net,
    ));
    let centre = circle(canvas, at, towards);
    let (mut text, _) = beyond(words, centre, towards, 1.7);
    text.bold = true;
    name_text(canvas, text);
}

/// Draws a terminal of the supply with its words to the right.
pub(crate) fn supply_terminal(
    canvas: &mut Canvas,
    (net, name): (usize, &str),
    words: &str,
    at: Point,
    towards: Towards,
) {
    canvas.labels.push((
        PlacedLabel {
            name: name.to_owned(),
            at,
        },
        net,
    ));
    let centre = circle(canvas, at, towards);
    let mut text = Text::new(words, centre.moved(1.7, 0.36 * FONT), FONT, Anchor::Start);
    text.bold = true;
    name_text(canvas, text);
}

/// The open circle of a terminal at the end of a wire; returns its centre.
fn circle(canvas: &mut Canvas, at: Point, towards: Towards) -> Point {
    const RADIUS: f64 = 0.9;
    let centre = match towards {
        Towards::Left => at.moved(-RADIUS, 0.0),
        Towards::Right => at.moved(RADIUS, 0.0),
        Towards::Up => at.moved(0.0, -RADIUS),
        Towards::Down => at.moved(0.0, RADIUS),
    };
    canvas.marks.push(Mark {
        layer: Layer::Label,
        shape: Shape::Circle {
            centre,
            radius: RADIUS,
            stroke: Some(Stroke::solid(LINE, Ink::Black)),
            fill: Some(Ink::Paper),
        },
    });
    canvas.body(centre.moved(-RADIUS, -RADIUS), centre.moved(RADIUS, RADIUS));
    centre
}

/// The name of a net, placed beyond the end of its wire, and the half length of its bar.
fn beyond(name: &str, at: Point, towards: Towards, gap: f64) -> (Text, f64) {
    let width = Text::width_of(name, FONT, false);
    let middle = 0.36 * FONT;
    match towards {
        Towards::Up => (
            Text::new(name, at.moved(0.0, -gap), FONT, Anchor::Middle),
            (width / 2.0).clamp(1.5, 3.5),
        ),
        Towards::Down => (
            Text::new(name, at.moved(0.0, gap + 0.73 * FONT), FONT, Anchor::Middle),
            (width / 2.0).clamp(1.5, 3.5),
        ),
        Towards::Left => (
            Text::new(name, at.moved(-gap, middle), FONT, Anchor::End),
            1.5,
        ),
        Towards::Right => (
            Text::new(name, at.moved(gap, middle), FONT, Anchor::Start),
            1.5,
        ),
    }
}

/// Adds a text whose place is already decided and keeps it clear.
pub(crate) fn name_text(canvas: &mut Canvas, text: Text) {
    let extent: Extent = text.extent();
    canvas.bodies.push(extent);
    canvas.marks.push(Mark {
        layer: Layer::Label,
        shape: Shape::Text(text),
    });
}
