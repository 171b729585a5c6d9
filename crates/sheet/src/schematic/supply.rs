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

/// Draws the supply group within a width, or nothing where there is no supply.
pub(crate) fn draw(pen: &Pen<'_>, width: f64) -> Option<Canvas> {
    let reading = pen.reading;
    let power = power_pins(reading);
    if reading.supply_parts.is_empty() && power.is_empty() && reading.mid_follower.is_none() {
        return None;
    }
    let mut groups: Vec<Canvas> = Vec::new();
    let mut group = |draw: &mut dyn FnMut(&mut Canvas)| {
        let mut canvas = Canvas::default();
        draw(&mut canvas);
        groups.push(canvas);
    };
    group(&mut |c| entry(pen, c));
    let (dividers, rest) = dividers(reading);
    for one in &dividers {
        group(&mut |c| divider(pen, c, one));
    }
    let rails = between_rails(reading, &rest);
    let odd = rest
        .iter()
        .filter(|t| !rails.iter().any(|(r, _)| r.part == t.part));
    for (two, supply) in &rails {
        group(&mut |c| whole(pen, c, two, *supply));
    }
    for entry in &power {
        group(&mut |c| package(pen, c, entry));
    }
    for two in odd {
        group(&mut |c| alone(pen, c, two, 0.0));
    }
    Some(flow(groups, width))
}

/// Puts groups side by side, and below each other where the width is used up.
fn flow(groups: Vec<Canvas>, width: f64) -> Canvas {
    /// Clear width between two groups, mm.
    const APART: f64 = 4.5;
    /// Height of one line of groups, mm.
    const LINE_HEIGHT: f64 = 45.0;
    let mut canvas = Canvas::default();
    let (mut x, mut y) = (0.0, 0.0);
    for group in groups {
        let Some(extent) = group.extent() else {
            continue;
        };
        if x > 0.0 && x + extent.width() > width {
            (x, y) = (0.0, y + LINE_HEIGHT);
        }
        let dx = ((x - extent.left) / GRID).ceil() * GRID;
        canvas.take(group, dx, y);
        x = dx + extent.right + APART;
    }
    canvas
}

/// Where the supply comes in: two terminals.
fn entry(pen: &Pen<'_>, canvas: &mut Canvas) {
    let circuit = pen.reading.circuit;
    let Some((supply, node)) = circuit.supply.as_ref().zip(circuit.find_node("vcc")) else {
        return;
    };
    let ground = circuit::NodeId::GROUND.0;
    let (plus, zero) = (Point::new(0.0, MIDDLE - 5.0), Point::new(0.0, MIDDLE + 5.0));
    canvas.wire(node.0, &[Point::new(0.0, TOP), plus]);
    pen.label(canvas, node.0, Point::new(0.0, TOP), Towards::Up);
    let net = |n: usize| (n, pen.reading.name(n));
    let volts = format!("+{}", supply.voltage);
    labels::supply_terminal(canvas, net(node.0), &volts, plus, Towards::Down);
    labels::supply_terminal(canvas, net(ground), "0 V", zero, Towards::Up);
    canvas.wire(ground, &[zero, Point::new(0.0, BOTTOM)]);
    pen.label(canvas, ground, Point::new(0.0, BOTTOM), Towards::Down);
}

/// The power pins of every package alone.
pub(crate) fn power(pen: &Pen<'_>, width: f64) -> Option<Canvas> {
    let groups: Vec<Canvas> = power_pins(pen.reading)
        .iter()
        .map(|entry| {
            let mut canvas = Canvas::default();
            package(pen, &mut canvas, entry);
            canvas
        })
        .collect();
    (!groups.is_empty()).then(|| flow(groups, width))
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
        let name = reading.circuit.parts[part].package().name;
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

/// A bias divider with its capacitors and follower.
struct Divider {
    net: usize,
    /// Parts between the net and a supply or 0 V.
    halves: Vec<TwoEnded>,
    follower: Option<usize>,
}

/// The bias dividers; also the parts left over.
fn dividers(reading: &Reading<'_>) -> (Vec<Divider>, Vec<TwoEnded>) {
    let mut rest = reading.supply_parts.clone();
    let kinds = &reading.kinds;
    let of = |kind: NetKind| (0..kinds.len()).filter(move |&n| kinds[n] == kind);
    let mut list = Vec::new();
    for net in of(NetKind::Divider).chain(of(NetKind::Mid)) {
        let rail = |o: usize| matches!(kinds[o], NetKind::Supply | NetKind::Ground);
        let (halves, others): (Vec<_>, Vec<_>) = rest
            .into_iter()
            .partition(|t| t.across(net).is_some_and(rail));
        rest = others;
        let follower = reading
            .mid_follower
            .filter(|&a| reading.amplifier(a).plus.0 == net);
        if !halves.is_empty() || follower.is_some() {
            list.push(Divider {
                net,
                halves,
                follower,
            });
        }
    }
    (list, rest)
}

fn divider(pen: &Pen<'_>, canvas: &mut Canvas, one: &Divider) {
    let kinds = &pen.reading.kinds;
    let net = one.net;
    let supply = |t: &&TwoEnded| t.across(net).is_some_and(|o| kinds[o] == NetKind::Supply);
    let (upper, lower): (Vec<&TwoEnded>, Vec<&TwoEnded>) = one.halves.iter().partition(supply);
    let columns = upper.len().max(lower.len()).max(1);
    for column in 0..columns {
        let x = STEP * column as f64;
        if let Some(two) = upper.get(column) {
            upper_half(pen, canvas, two, net, x);
        }
        if let Some(two) = lower.get(column) {
            lower_half(pen, canvas, two, net, x);
        }
    }
    let end = Point::new(STEP * (columns - 1) as f64 + 2.0 * GRID, MIDDLE);
    canvas.wire(net, &[Point::new(0.0, MIDDLE), end]);
    if let Some(part) = one.follower {
        buffer(pen, canvas, part, end.moved(4.0 * GRID, 0.0), end);
    } else {
        pen.label(canvas, net, end, Towards::Right);
    }
}

fn upper_half(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, net: usize, x: f64) {
    let other = two.across(net).unwrap_or(0);
    let (top, start) = (Point::new(x, TOP), Point::new(x, TOP + GRID));
    canvas.wire(other, &[top, start]);
    pen.label(canvas, other, top, Towards::Up);
    pen.two_ended(canvas, two, other, start, start.moved(0.0, SPAN));
    canvas.wire(net, &[start.moved(0.0, SPAN), Point::new(x, MIDDLE)]);
}

fn lower_half(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, net: usize, x: f64) {
    let other = two.across(net).unwrap_or(0);
    let (start, bottom) = (Point::new(x, MIDDLE + GRID), Point::new(x, BOTTOM));
    canvas.wire(net, &[Point::new(x, MIDDLE), start]);
    pen.two_ended(canvas, two, net, start, start.moved(0.0, SPAN));
    canvas.wire(other, &[start.moved(0.0, SPAN), bottom]);
    pen.label(canvas, other, bottom, Towards::Down);
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
fn whole(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, supply: usize) {
    let x = 0.0;
    let top = Point::new(x, TOP + 10.0);
    let ground = two.across(supply).unwrap_or(0);
    canvas.wire(supply, &[Point::new(x, TOP), top]);
    pen.label(canvas, supply, Point::new(x, TOP), Towards::Up);
    pen.two_ended(canvas, two, supply, top, top.moved(0.0, SPAN));
    canvas.wire(ground, &[top.moved(0.0, SPAN), Point::new(x, BOTTOM)]);
    pen.label(canvas, ground, Point::new(x, BOTTOM), Towards::Down);
}

/// The power pins of one package: a box with the two pin numbers.
fn package(pen: &Pen<'_>, canvas: &mut Canvas, entry: &Power) {
    let x = 0.0;
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
