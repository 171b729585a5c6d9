//! The bodies of two-ended parts, along a line of 10 mm.
//!
//! Resistor as rectangle [IEC-60617] or zigzag [IEEE-315], capacitor as two plates
//! (the curved plate of IEEE 315 for a polarised one, a plus sign in both), inductor
//! as half circles, diode as triangle and bar; shapes from memory of both standards.

use super::Symbols;
use super::canvas::{Canvas, LINE};
use crate::{Ink, Layer, Mark, Point, Shape, Stroke};

/// Length of a two-ended part from pin to pin, mm.
pub(crate) const SPAN: f64 = 10.0;

/// What a two-ended body looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Body {
    /// A resistor.
    Resistor,
    /// A capacitor without polarity.
    Capacitor,
    /// A capacitor whose first end is positive.
    Polarised,
    /// An inductor.
    Inductor,
    /// A diode, anode first.
    Diode,
    /// A potentiometer with one end on a rail: its other end, then its wiper. It stands
    /// upright below the spine and is drawn by the row.
    Divider,
}

/// A frame along a part: from `a` to `b`, with left-hand side across.
#[derive(Clone, Copy)]
struct Along {
    a: Point,
    ux: f64,
    uy: f64,
}

impl Along {
    fn new(a: Point, b: Point) -> Self {
        let length = (b.x - a.x).hypot(b.y - a.y);
        Along {
            a,
            ux: (b.x - a.x) / length,
            uy: (b.y - a.y) / length,
        }
    }

    /// The place `s` millimetres along and `t` to the left of the way.
    fn at(&self, s: f64, t: f64) -> Point {
        self.a
            .moved(s * self.ux + t * self.uy, s * self.uy - t * self.ux)
    }
}

/// Draws a body between two pins 10 mm apart.
pub(crate) fn body(canvas: &mut Canvas, kind: Body, symbols: Symbols, a: Point, b: Point) {
    let frame = Along::new(a, b);
    let (first, half) = match kind {
        Body::Resistor | Body::Divider => (1.75, 1.25),
        Body::Capacitor | Body::Polarised => (4.4, 2.2),
        Body::Inductor => (1.0, 1.1),
        Body::Diode => (3.6, 1.5),
    };
    let last = SPAN - first;
    lead(canvas, frame.at(0.0, 0.0), frame.at(first, 0.0));
    lead(canvas, frame.at(last, 0.0), frame.at(SPAN, 0.0));
    match kind {
        Body::Resistor | Body::Divider => resistor(canvas, frame, symbols, first, last, half),
        Body::Capacitor => capacitor(canvas, frame, first, last, half),
        Body::Polarised => {
            capacitor(canvas, frame, first, last, half);
            plus_sign(canvas, frame.at(first - 1.5, half - 0.9));
        }
        Body::Inductor => inductor(canvas, frame, first, last),
        Body::Diode => diode(canvas, frame, first, last, half),
    }
    canvas.body(frame.at(first, half), frame.at(last, -half));
    if kind == Body::Polarised {
        canvas.body(frame.at(first - 2.3, half), frame.at(first, half - 1.8));
    }
    // the leads count as obstacles too
    canvas.body(frame.at(0.0, 0.15), frame.at(SPAN, -0.15));
}

/// The wiper of an upright track, coming in from the right; returns where its wire joins.
pub(crate) fn wiper(canvas: &mut Canvas, track: Point) -> Point {
    let touch = track.moved(1.25, 0.0);
    let end = track.moved(5.0, 0.0);
    canvas.outline(Layer::Symbol, &[end, touch], false);
    canvas.outline(
        Layer::Symbol,
        &[touch.moved(1.3, -0.7), touch, touch.moved(1.3, 0.7)],
        false,
    );
    canvas.body(touch.moved(0.0, -0.8), end.moved(0.0, 0.8));
    end
}

fn lead(canvas: &mut Canvas, from: Point, to: Point) {
    canvas.outline(Layer::Symbol, &[from, to], false);
}

fn resistor(canvas: &mut Canvas, f: Along, symbols: Symbols, first: f64, last: f64, half: f64) {
    match symbols {
        Symbols::Iec60617 => canvas.outline(
            Layer::Symbol,
            &[
                f.at(first, half),
                f.at(last, half),
                f.at(last, -half),
                f.at(first, -half),
            ],
            true,
        ),
        Symbols::Ieee315 => {
            let step = (last - first) / 12.0;
            let mut points = vec![f.at(first, 0.0)];
            for tooth in 0..6 {
                let s = first + step * f64::from(2 * tooth + 1);
                let side = if tooth % 2 == 0 { half } else { -half };
                points.push(f.at(s, side));
            }
            points.push(f.at(last, 0.0));
            canvas.outline(Layer::Symbol, &points, false);
        }
    }
}

fn capacitor(canvas: &mut Canvas, f: Along, first: f64, last: f64, half: f64) {
    for s in [first, last] {
        canvas.marks.push(Mark {
            layer: Layer::Symbol,
            shape: Shape::Line {
                from: f.at(s, half),
                to: f.at(s, -half),
                stroke: Stroke::solid(1.7 * LINE, Ink::Black),
            },
        });
    }
}

fn plus_sign(canvas: &mut Canvas, at: Point) {
    let arm = 0.7;
    canvas.outline(
        Layer::Symbol,
        &[at.moved(-arm, 0.0), at.moved(arm, 0.0)],
        false,
    );
    canvas.outline(
        Layer::Symbol,
        &[at.moved(0.0, -arm), at.moved(0.0, arm)],
        false,
    );
}

fn inductor(canvas: &mut Canvas, f: Along, first: f64, last: f64) {
    let radius = (last - first) / 8.0;
    // half circles bulging to the left of the way
    let from_deg = f.uy.atan2(f.ux).to_degrees() + 180.0;
    for turn in 0..4 {
        let centre = f.at(first + radius * f64::from(2 * turn + 1), 0.0);
        canvas.marks.push(Mark {
            layer: Layer::Symbol,
            shape: Shape::Arc {
                centre,
                radius,
                from_deg,
                to_deg: from_deg + 180.0,
                stroke: Stroke::solid(LINE, Ink::Black),
            },
        });
    }
}

fn diode(canvas: &mut Canvas, f: Along, first: f64, last: f64, half: f64) {
    canvas.outline(
        Layer::Symbol,
        &[f.at(first, half), f.at(last, 0.0), f.at(first, -half)],
        true,
    );
    canvas.outline(Layer::Symbol, &[f.at(last, half), f.at(last, -half)], false);
}
