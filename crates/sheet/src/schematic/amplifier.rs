//! The triangle of an amplifier with its pin numbers.

use super::canvas::{Canvas, CaptionWish};
use super::labels::{FONT, name_text};
use crate::{Anchor, Layer, Point, Text};

/// Distance between the two input pins, mm.
pub(crate) const INPUTS: f64 = 5.0;
/// Distance from input pins to the output pin, mm.
pub(crate) const REACH: f64 = 17.5;
/// How far the triangle reaches above the upper and below the lower input pin, mm.
pub(crate) const OVERHANG: f64 = 4.5;
/// Length of the leads, mm.
const LEAD: f64 = 2.5;
/// Font size of pin numbers, mm.
const PIN_FONT: f64 = 2.4;

/// What is written on an amplifier.
pub(crate) struct AmplifierNames<'a> {
    /// Reference with its unit: `U1A`.
    pub(crate) reference: &'a str,
    /// Type, or nothing for the textbook amplifier.
    pub(crate) kind: &'a str,
    /// Pin numbers of (plus, minus, out), if the package is known.
    pub(crate) pins: Option<(u8, u8, u8)>,
}

/// Draws the triangle with its upper input pin at `upper`; pins are 0 plus, 1 minus, 2 out.
pub(crate) fn amplifier(
    canvas: &mut Canvas,
    part: usize,
    names: &AmplifierNames<'_>,
    nets: [usize; 3],
    minus_on_top: bool,
    upper: Point,
) {
    let lower = upper.moved(0.0, INPUTS);
    let out = upper.moved(REACH, INPUTS / 2.0);
    let (plus, minus) = if minus_on_top {
        (lower, upper)
    } else {
        (upper, lower)
    };
    for (pin, (net, at)) in nets.iter().zip([plus, minus, out]).enumerate() {
        canvas.pin(part, pin, *net, at);
    }
    let left = upper.x + LEAD;
    let tip = out.moved(-LEAD, 0.0);
    for pin in [upper, lower] {
        canvas.outline(Layer::Symbol, &[pin, pin.moved(LEAD, 0.0)], false);
        canvas.body(pin.moved(0.0, -0.15), pin.moved(LEAD, 0.15));
    }
    canvas.outline(Layer::Symbol, &[tip, out], false);
    canvas.body(tip.moved(0.0, -0.15), out.moved(0.0, 0.15));
    triangle(canvas, left, upper.y - OVERHANG, lower.y + OVERHANG, tip);
    signs(canvas, plus, minus);
    pin_numbers(canvas, names, plus, minus, out);
    let mut reference = Text::new(
        names.reference,
        Point::new(left + 1.6, out.y + 0.36 * FONT),
        FONT,
        Anchor::Start,
    );
    reference.bold = true;
    name_text(canvas, reference);
    if !names.kind.is_empty() {
        canvas.wishes.push(type_wish(names.kind, tip, upper, lower));
    }
}

fn triangle(canvas: &mut Canvas, left: f64, top: f64, bottom: f64, tip: Point) {
    canvas.outline(
        Layer::Symbol,
        &[Point::new(left, top), Point::new(left, bottom), tip],
        true,
    );
    // the triangle as a stair of boxes, so that words may use its shoulders
    let steps = 5;
    for step in 0..steps {
        let share = f64::from(step) / f64::from(steps);
        let next = f64::from(step + 1) / f64::from(steps);
        let x = left + share * (tip.x - left);
        let x2 = left + next * (tip.x - left);
        let up = top + share * (tip.y - top);
        let down = bottom + share * (tip.y - bottom);
        canvas.body(Point::new(x, up), Point::new(x2, down));
    }
}

fn signs(canvas: &mut Canvas, plus: Point, minus: Point) {
    let arm = 0.75;
    for centre in [plus, minus] {
        let c = centre.moved(LEAD + 1.6, 0.0);
        canvas.outline(
            Layer::Symbol,
            &[c.moved(-arm, 0.0), c.moved(arm, 0.0)],
            false,
        );
    }
    let c = plus.moved(LEAD + 1.6, 0.0);
    canvas.outline(
        Layer::Symbol,
        &[c.moved(0.0, -arm), c.moved(0.0, arm)],
        false,
    );
}

fn pin_numbers(
    canvas: &mut Canvas,
    names: &AmplifierNames<'_>,
    plus: Point,
    minus: Point,
    out: Point,
) {
    let Some((p, m, o)) = names.pins else { return };
    for (number, at) in [(p, plus), (m, minus)] {
        let place = at.moved(LEAD - 0.4, -0.6);
        name_text(
            canvas,
            Text::new(number.to_string(), place, PIN_FONT, Anchor::End),
        );
    }
    let place = out.moved(-LEAD + 0.5, -0.6);
    name_text(
        canvas,
        Text::new(o.to_string(), place, PIN_FONT, Anchor::Start),
    );
}

fn type_wish(kind: &str, tip: Point, upper: Point, lower: Point) -> CaptionWish {
    let mut candidates = Vec::new();
    for step in 0..6 {
        let dx = 1.25 * f64::from(step);
        let below = Point::new(tip.x - 6.0 + dx, lower.y + OVERHANG + 0.6);
        let above = Point::new(tip.x - 6.0 + dx, upper.y - OVERHANG + 1.4);
        for at in [
            below,
            above,
            below.moved(-2.0, 2.4),
            below.moved(-4.0, 3.2),
            below.moved(-2.0, 5.0),
            below.moved(-2.0, 7.5),
            above.moved(-2.0, -2.2),
        ] {
            candidates.push(vec![Text::new(kind, at, FONT, Anchor::Start)]);
        }
    }
    CaptionWish { candidates }
}
