//! Parts drawn on their own with a name at every end: pots, switches, and what fits
//! nowhere on the rows.

use circuit::Element;
use parts::Dielectric;

use super::amplifier::{INPUTS, REACH};
use super::canvas::{Canvas, CaptionWish, LINE};
use super::columns::GRID;
use super::glyphs::{self, Body, SPAN};
use super::labels::{FONT, Towards};
use super::pen::Pen;
use super::reading::TwoEnded;
use super::supply;
use crate::{Anchor, Ink, Layer, Mark, Point, Shape, Stroke, Text};

/// Draws the parts side by side.
pub(crate) fn draw(pen: &Pen<'_>, parts: &[usize], width: f64) -> Option<Canvas> {
    if parts.is_empty() {
        return None;
    }
    let mut canvas = Canvas::default();
    let (mut x, mut y) = (0.0, 0.0);
    for &part in parts {
        let mut one = Canvas::default();
        single(pen, &mut one, part);
        let Some(extent) = one.extent() else { continue };
        if x > 0.0 && x + extent.width() > width {
            x = 0.0;
            y += 37.5;
        }
        let dx = ((x - extent.left) / GRID).ceil() * GRID;
        canvas.take(one, dx, y);
        x = dx + extent.right + 4.0;
    }
    Some(canvas)
}

fn single(pen: &Pen<'_>, canvas: &mut Canvas, part: usize) {
    let element = &pen.reading.circuit.parts[part].element;
    let nodes: Vec<usize> = element.nodes().iter().map(|n| n.0).collect();
    match element {
        Element::Pot(_) => pot(pen, canvas, part, &nodes),
        Element::Switch(_) => switch(pen, canvas, part, &nodes),
        Element::Opamp(_) => triangle(pen, canvas, part, &nodes),
        _ => {
            let body = match element {
                Element::Capacitor {
                    dielectric: Dielectric::Electrolytic | Dielectric::Tantalum,
                    ..
                } => Body::Polarised,
                Element::Capacitor { .. } => Body::Capacitor,
                Element::Inductor { .. } => Body::Inductor,
                Element::Diode(_) => Body::Diode,
                _ => Body::Resistor,
            };
            let two = TwoEnded {
                part,
                ends: [nodes[0], nodes[1]],
                body,
            };
            supply::alone(pen, canvas, &two, 0.0);
        }
    }
}

/// An amplifier with a name at each of its three signal pins.
fn triangle(pen: &Pen<'_>, canvas: &mut Canvas, part: usize, nodes: &[usize]) {
    let upper = Point::new(0.0, 10.0);
    pen.amplifier(canvas, part, false, upper);
    let lower = upper.moved(0.0, INPUTS);
    let out = upper.moved(REACH, INPUTS / 2.0);
    for (net, at, dx) in [
        (nodes[0], upper, -GRID),
        (nodes[1], lower, -GRID),
        (nodes[2], out, GRID),
    ] {
        let towards = if dx < 0.0 {
            Towards::Left
        } else {
            Towards::Right
        };
        canvas.wire(net, &[at, at.moved(dx, 0.0)]);
        pen.label(canvas, net, at.moved(dx, 0.0), towards);
    }
}

/// A track with its wiper coming in from the right.
fn pot(pen: &Pen<'_>, canvas: &mut Canvas, part: usize, nodes: &[usize]) {
    let top = Point::new(0.0, 10.0);
    let bottom = top.moved(0.0, SPAN);
    canvas.pin(part, 0, nodes[0], top);
    canvas.pin(part, 1, nodes[1], bottom);
    glyphs::body(canvas, Body::Resistor, pen.symbols, top, bottom);
    canvas.wire(nodes[0], &[top.moved(0.0, -GRID), top]);
    pen.label(canvas, nodes[0], top.moved(0.0, -GRID), Towards::Up);
    canvas.wire(nodes[1], &[bottom, bottom.moved(0.0, GRID)]);
    pen.label(canvas, nodes[1], bottom.moved(0.0, GRID), Towards::Down);
    let wiper = glyphs::wiper(canvas, top.moved(0.0, SPAN / 2.0));
    canvas.pin(part, 2, nodes[2], wiper);
    canvas.wire(nodes[2], &[wiper, wiper.moved(GRID, 0.0)]);
    pen.label(canvas, nodes[2], wiper.moved(GRID, 0.0), Towards::Right);
    caption(pen, canvas, part, Point::new(-2.2, top.y + SPAN / 2.0));
}

/// A common contact on the left, the ways on the right, the closed one joined.
fn switch(pen: &Pen<'_>, canvas: &mut Canvas, part: usize, nodes: &[usize]) {
    let Element::Switch(pole) = &pen.reading.circuit.parts[part].element else {
        return;
    };
    let common = Point::new(0.0, 10.0);
    canvas.pin(part, 0, nodes[0], common);
    canvas.wire(nodes[0], &[common.moved(-GRID, 0.0), common]);
    pen.label(canvas, nodes[0], common.moved(-GRID, 0.0), Towards::Left);
    let pivot = common.moved(GRID, 0.0);
    canvas.outline(Layer::Symbol, &[common, pivot], false);
    for (way, &net) in nodes[1..].iter().enumerate() {
        let contact = common.moved(10.0, 5.0 * way as f64);
        canvas.outline(Layer::Symbol, &[contact, contact.moved(GRID, 0.0)], false);
        let pin = contact.moved(GRID, 0.0);
        canvas.pin(part, way + 1, net, pin);
        canvas.wire(net, &[pin, pin.moved(GRID, 0.0)]);
        pen.label(canvas, net, pin.moved(GRID, 0.0), Towards::Right);
    }
    for contact in contacts(common, nodes.len() - 1).chain([pivot]) {
        canvas.marks.push(dot(contact));
    }
    let blade = match pole.position {
        0 => common.moved(8.5, -3.5),
        way => common.moved(9.4, 5.0 * (way as f64 - 1.0) - 1.0),
    };
    canvas.outline(Layer::Symbol, &[pivot, blade], false);
    let depth = 5.0 * (nodes.len().saturating_sub(2)) as f64;
    canvas.body(common.moved(0.0, -4.0), common.moved(12.5, depth + 1.0));
    caption(pen, canvas, part, common.moved(8.0, -8.0));
}

/// The contacts of the ways.
fn contacts(common: Point, ways: usize) -> impl Iterator<Item = Point> {
    (0..ways).map(move |way| common.moved(10.0, 5.0 * way as f64))
}

/// A contact: a small open circle.
fn dot(centre: Point) -> Mark {
    Mark {
        layer: Layer::Symbol,
        shape: Shape::Circle {
            centre,
            radius: 0.6,
            stroke: Some(Stroke::solid(LINE, Ink::Black)),
            fill: Some(Ink::Paper),
        },
    }
}

fn caption(pen: &Pen<'_>, canvas: &mut Canvas, part: usize, at: Point) {
    let reference = &pen.reading.circuit.parts[part].reference;
    let value = pen.reading.value(part);
    canvas.wishes.push(CaptionWish {
        candidates: vec![vec![
            Text::new(reference.clone(), at, FONT, Anchor::End),
            Text::new(value, at.moved(0.0, 1.2 * FONT), FONT, Anchor::End),
        ]],
    });
}
