//! The supply group: everything between the rails, as a ladder of its own.
//!
//! The upper line is the supply, the lower one 0 V; bias divider, decoupling and the
//! power pins of every package stand between them.

use super::amplifier::{INPUTS, REACH};
use super::canvas::{Canvas, LINE};
use super::columns::GRID;
use super::glyphs::SPAN;
use super::labels::{self, FONT, Towards, name_text};
use super::pen::Pen;
use super::reading::{NetKind, Reading, TwoEnded};
use crate::{Anchor, Layer, Point, Text};

/// Height of the supply line, of the middle line and of the 0 V line, mm.
const TOP: f64 = 0.0;
const MIDDLE: f64 = 15.0;
const BOTTOM: f64 = 30.0;
/// Distance between two columns, mm.
const STEP: f64 = 15.0;

/// Draws the supply group, or nothing where there is no supply.
pub(crate) fn draw(pen: &Pen<'_>) -> Option<Canvas> {
    let reading = pen.reading;
    let power = power_pins(reading);
    if reading.supply_parts.is_empty() && power.is_empty() && reading.mid_follower.is_none() {
        return None;
    }
    let mut canvas = Canvas::default();
    let mut x = 0.0;
    entry(pen, &mut canvas, &mut x);
    let rest = bias(pen, &mut canvas, &mut x);
    let rails = between_rails(reading, &rest);
    let odd: Vec<&TwoEnded> = rest
        .iter()
        .filter(|t| !rails.iter().any(|(r, _)| r.part == t.part))
        .collect();
    for (two, supply) in &rails {
        whole(pen, &mut canvas, two, *supply, x);
        x += STEP;
    }
    for (number, entry) in power.iter().enumerate() {
        x += if number == 0 && !rails.is_empty() {
            3.0 * GRID
        } else {
            0.0
        };
        package(pen, &mut canvas, entry, x);
        x += STEP;
    }
    for two in odd {
        alone(pen, &mut canvas, two, x);
        x += STEP;
    }
    Some(canvas)
}

/// Where the supply comes in: two terminals.
fn entry(pen: &Pen<'_>, canvas: &mut Canvas, x: &mut f64) {
    let circuit = pen.reading.circuit;
    let Some((supply, node)) = circuit.supply.as_ref().zip(circuit.find_node("vcc")) else {
        return;
    };
    let ground = circuit::NodeId::GROUND.0;
    let (plus, zero) = (Point::new(*x, MIDDLE - 5.0), Point::new(*x, MIDDLE + 5.0));
    canvas.wire(node.0, &[Point::new(*x, TOP), plus]);
    pen.label(canvas, node.0, Point::new(*x, TOP), Towards::Up);
    labels::supply_terminal(canvas, &format!("+{}", supply.voltage), plus, Towards::Down);
    labels::supply_terminal(canvas, "0 V", zero, Towards::Up);
    canvas.wire(ground, &[zero, Point::new(*x, BOTTOM)]);
    pen.label(canvas, ground, Point::new(*x, BOTTOM), Towards::Down);
    *x += STEP + GRID;
}

/// The power pins of every package alone.
pub(crate) fn power(pen: &Pen<'_>) -> Option<Canvas> {
    let mut canvas = Canvas::default();
    for (number, entry) in power_pins(pen.reading).iter().enumerate() {
        package(pen, &mut canvas, entry, STEP * number as f64);
    }
    canvas.extent().map(|_| canvas)
}

/// One package and its supply pins.
struct Power {
    /// Its name.
    name: String,
    /// The first of its amplifiers in the netlist.
    part: usize,
    /// Supply nets, positive first.
    rails: [usize; 2],
    /// Pin numbers, positive first.
    pins: [u8; 2],
}

fn power_pins(reading: &Reading<'_>) -> Vec<Power> {
    let mut list: Vec<Power> = Vec::new();
    let all = reading.amplifiers.iter().copied();
    let mut parts: Vec<usize> = all.chain(reading.mid_follower).collect();
    parts.sort_unstable();
    for part in parts {
        let amp = reading.amplifier(part);
        if amp.model.is_ideal() {
            continue;
        }
        let (name, _) = reading.package(part);
        let rails = amp.rails.map(|n| n.0);
        if !list.iter().any(|p| p.name == name && p.rails == rails) {
            list.push(Power {
                name: name.to_owned(),
                part,
                rails,
                pins: [amp.model.pinout.positive, amp.model.pinout.negative],
            });
        }
    }
    list
}

/// Parts that lead from a supply straight to 0 V, with that supply.
fn between_rails(reading: &Reading<'_>, parts: &[TwoEnded]) -> Vec<(TwoEnded, usize)> {
    parts
        .iter()
        .filter_map(|t| {
            let kinds = t.ends.map(|n| reading.kinds[n]);
            match kinds {
                [NetKind::Supply, NetKind::Ground] => Some((t.clone(), t.ends[0])),
                [NetKind::Ground, NetKind::Supply] => Some((t.clone(), t.ends[1])),
                _ => None,
            }
        })
        .collect()
}

/// Draws each bias divider with its capacitors and follower; returns the parts left over.
fn bias(pen: &Pen<'_>, canvas: &mut Canvas, x: &mut f64) -> Vec<TwoEnded> {
    let reading = pen.reading;
    let mut rest = reading.supply_parts.clone();
    let kinds = &reading.kinds;
    let divided: Vec<usize> = (0..kinds.len())
        .filter(|&n| kinds[n] == NetKind::Divider)
        .chain((0..kinds.len()).filter(|&n| kinds[n] == NetKind::Mid))
        .collect();
    for net in divided {
        let halves: Vec<TwoEnded> = rest
            .iter()
            .filter(|t| {
                t.across(net)
                    .is_some_and(|o| matches!(kinds[o], NetKind::Supply | NetKind::Ground))
            })
            .cloned()
            .collect();
        rest.retain(|t| !halves.iter().any(|h| h.part == t.part));
        let follower = reading
            .mid_follower
            .filter(|&a| reading.amplifier(a).plus.0 == net);
        let follows = reading
            .mid_follower
            .is_some_and(|a| reading.amplifier(a).out.0 == net);
        if halves.is_empty() && follower.is_none() {
            continue;
        }
        divider(pen, canvas, net, &halves, follower, follows, x);
    }
    rest
}

fn divider(
    pen: &Pen<'_>,
    canvas: &mut Canvas,
    net: usize,
    halves: &[TwoEnded],
    follower: Option<usize>,
    follows: bool,
    x: &mut f64,
) {
    let kinds = &pen.reading.kinds;
    let (upper, lower): (Vec<&TwoEnded>, Vec<&TwoEnded>) = halves
        .iter()
        .partition(|t| t.across(net).is_some_and(|o| kinds[o] == NetKind::Supply));
    let columns = upper.len().max(lower.len()).max(1);
    let start = *x;
    for column in 0..columns {
        let at = start + STEP * column as f64;
        if let Some(two) = upper.get(column) {
            let other = two.across(net).unwrap_or(0);
            let top = Point::new(at, TOP + GRID);
            canvas.wire(other, &[Point::new(at, TOP), top]);
            pen.label(canvas, other, Point::new(at, TOP), Towards::Up);
            pen.two_ended(canvas, two, other, top, top.moved(0.0, SPAN));
            canvas.wire(net, &[top.moved(0.0, SPAN), Point::new(at, MIDDLE)]);
        }
        if let Some(two) = lower.get(column) {
            let other = two.across(net).unwrap_or(0);
            let top = Point::new(at, MIDDLE + GRID);
            canvas.wire(net, &[Point::new(at, MIDDLE), top]);
            pen.two_ended(canvas, two, net, top, top.moved(0.0, SPAN));
            canvas.wire(other, &[top.moved(0.0, SPAN), Point::new(at, BOTTOM)]);
            pen.label(canvas, other, Point::new(at, BOTTOM), Towards::Down);
        }
    }
    let last = start + STEP * (columns - 1) as f64;
    let end = Point::new(last + 2.0 * GRID, MIDDLE);
    canvas.wire(net, &[Point::new(start, MIDDLE), end]);
    *x = last + STEP;
    if let Some(part) = follower {
        buffer(pen, canvas, part, end.moved(4.0 * GRID, 0.0), end);
        *x = end.x + REACH + 11.0 * GRID;
    } else if follows || kinds[net] == NetKind::Mid {
        pen.label(canvas, net, end, Towards::Right);
        *x = end.x + STEP;
    }
}

/// The follower behind a bias divider, its output named.
fn buffer(pen: &Pen<'_>, canvas: &mut Canvas, part: usize, upper: Point, from: Point) {
    let amp = pen.reading.amplifier(part);
    canvas.wire(amp.plus.0, &[from, upper]);
    pen.amplifier(canvas, part, false, upper);
    let out = upper.moved(REACH, INPUTS / 2.0);
    let lower = upper.moved(0.0, INPUTS);
    let knee = out.moved(GRID, 0.0);
    let under = upper.y + INPUTS + 7.5;
    canvas.wire(
        amp.out.0,
        &[
            lower,
            lower.moved(-GRID, 0.0),
            Point::new(lower.x - GRID, under),
            Point::new(knee.x, under),
            knee,
        ],
    );
    canvas.wire(amp.out.0, &[out, knee.moved(GRID, 0.0)]);
    pen.label(canvas, amp.out.0, knee.moved(GRID, 0.0), Towards::Right);
}

/// A part from the supply to 0 V.
fn whole(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, supply: usize, x: f64) {
    let top = Point::new(x, TOP + 10.0);
    let ground = two.across(supply).unwrap_or(0);
    canvas.wire(supply, &[Point::new(x, TOP), top]);
    pen.label(canvas, supply, Point::new(x, TOP), Towards::Up);
    pen.two_ended(canvas, two, supply, top, top.moved(0.0, SPAN));
    canvas.wire(ground, &[top.moved(0.0, SPAN), Point::new(x, BOTTOM)]);
    pen.label(canvas, ground, Point::new(x, BOTTOM), Towards::Down);
}

/// The power pins of one package: a box with the two pin numbers.
fn package(pen: &Pen<'_>, canvas: &mut Canvas, entry: &Power, x: f64) {
    let (top, bottom) = (Point::new(x, TOP + 7.5), Point::new(x, BOTTOM - 7.5));
    canvas.pin(entry.part, 3, entry.rails[0], top);
    canvas.pin(entry.part, 4, entry.rails[1], bottom);
    canvas.wire(entry.rails[0], &[Point::new(x, TOP), top]);
    canvas.wire(entry.rails[1], &[bottom, Point::new(x, BOTTOM)]);
    pen.label(canvas, entry.rails[0], Point::new(x, TOP), Towards::Up);
    pen.label(canvas, entry.rails[1], Point::new(x, BOTTOM), Towards::Down);
    let width = Text::width_of(&entry.name, FONT, true).max(7.0) + 2.0;
    let (a, b) = (
        Point::new(x - width / 2.0, top.y),
        Point::new(x + width / 2.0, bottom.y),
    );
    canvas.outline(
        Layer::Symbol,
        &[a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)],
        true,
    );
    canvas.body(a.moved(-LINE, -LINE), b.moved(LINE, LINE));
    let mut words = |text: String, at: Point, bold: bool, anchor: Anchor| {
        let mut t = Text::new(text, at, FONT, anchor);
        t.bold = bold;
        name_text(canvas, t);
    };
    let middle = (top.y + bottom.y) / 2.0 + 0.36 * FONT;
    words(
        entry.name.clone(),
        Point::new(x, middle),
        true,
        Anchor::Middle,
    );
    let (up, down) = (top.moved(0.8, -1.0), bottom.moved(0.8, 3.0));
    words(entry.pins[0].to_string(), up, false, Anchor::Start);
    words(entry.pins[1].to_string(), down, false, Anchor::Start);
}

/// A part between two rails that fits nowhere else: both ends named.
pub(crate) fn alone(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, x: f64) {
    let top = Point::new(x, TOP + 10.0);
    let [a, b] = two.ends;
    canvas.wire(a, &[top.moved(0.0, -GRID), top]);
    pen.label(canvas, a, top.moved(0.0, -GRID), Towards::Up);
    pen.two_ended(canvas, two, a, top, top.moved(0.0, SPAN));
    canvas.wire(b, &[top.moved(0.0, SPAN), top.moved(0.0, SPAN + GRID)]);
    pen.label(canvas, b, top.moved(0.0, SPAN + GRID), Towards::Down);
}
