//! Draws one row: spine, hanging parts, bridges, and what stands at its ends.

use super::amplifier::INPUTS;
use super::canvas::Canvas;
use super::captions;
use super::columns::{self, GRID};
use super::glyphs::{self, Body, SPAN};
use super::heights;
use super::labels::Towards;
use super::pen::Pen;
use super::plan::{Bridge, Hang, Level, Plan, RowEnd, Side, Step};
use super::reading::{Reading, TwoEnded};
use crate::Point;

/// Draws a row on a canvas of its own, its spine at y = 0.
pub(crate) fn draw(pen: &Pen<'_>, plan: &mut Plan, row: usize) -> Canvas {
    let (lefts, right) = columns::place(plan, row);
    heights::place(plan, row);
    let mut canvas = Canvas::default();
    let steps = plan.rows[row].steps.clone();
    for (number, (step, &x)) in steps.iter().zip(&lefts).enumerate() {
        match step {
            Step::Station(s) => {
                let bare = bare_ends(&plan.rows[row], number);
                spine(&mut canvas, plan, *s, x, bare);
            }
            Step::Series(two) => {
                let at = steps
                    .iter()
                    .position(|s| matches!(s, Step::Series(t) if t.part == two.part))
                    .unwrap_or(0);
                let net = previous_net(plan, &steps[..at]);
                let (from, to) = (Point::new(x, 0.0), Point::new(x + SPAN, 0.0));
                if two.body == Body::Divider {
                    volume_control(pen, &mut canvas, two, from, to);
                } else {
                    pen.two_ended(&mut canvas, two, net, from, to);
                }
            }
            Step::Amplifier(part, inverting, lower) => {
                draw_amplifier(pen, &mut canvas, *part, *inverting, lower.is_none(), x);
            }
            Step::Gap => {}
        }
    }
    for station in 0..plan.stations.len() {
        if plan.stations[station].row == row {
            hangs(pen, &mut canvas, plan, station);
            trunks(&mut canvas, plan, station);
        }
    }
    for bridge in &plan.bridges {
        if plan.stations[bridge.ends[0]].row == row {
            draw_bridge(pen, &mut canvas, plan, bridge);
        }
    }
    ends(pen, &mut canvas, plan, row, right);
    canvas
}

fn previous_net(plan: &Plan, before: &[Step]) -> usize {
    before
        .iter()
        .rev()
        .find_map(|s| match s {
            Step::Station(s) => Some(plan.stations[*s].net),
            _ => None,
        })
        .unwrap_or(0)
}

/// A pot upright below the spine: the signal enters at its top and leaves at its wiper.
fn volume_control(pen: &Pen<'_>, canvas: &mut Canvas, two: &TwoEnded, from: Point, to: Point) {
    let nodes = pen.reading.circuit.parts[two.part].element.nodes();
    let [free, wiper] = two.ends;
    let (near, far) = if nodes[0].0 == free { (0, 1) } else { (1, 0) };
    let rail = nodes[far].0;
    let top = from.moved(GRID, GRID);
    let bottom = top.moved(0.0, SPAN);
    canvas.wire(free, &[from, from.moved(GRID, 0.0), top]);
    canvas.pin(two.part, near, free, top);
    canvas.pin(two.part, far, rail, bottom);
    glyphs::body(canvas, Body::Resistor, pen.symbols, top, bottom);
    pen.label(canvas, rail, bottom, Towards::Down);
    let tap = glyphs::wiper(canvas, top.moved(0.0, SPAN / 2.0));
    canvas.pin(two.part, 2, wiper, tap);
    canvas.wire(wiper, &[tap, Point::new(to.x, tap.y), to]);
    let reference = &pen.reading.circuit.parts[two.part].reference;
    let value = pen.reading.value(two.part);
    let middle = top.moved(0.0, SPAN - 1.25);
    canvas
        .wishes
        .push(captions::upright(reference, &value, middle, 1.6));
}

/// Whether nothing joins the station at that step on its left and on its right.
fn bare_ends(row: &super::plan::Row, step: usize) -> [bool; 2] {
    let gap = |at: usize| matches!(row.steps.get(at), Some(Step::Gap));
    let left = if step == 0 {
        row.ends[0] == RowEnd::Bare
    } else {
        gap(step - 1)
    };
    let right = if step + 1 == row.steps.len() {
        row.ends[1] == RowEnd::Bare
    } else {
        gap(step + 1)
    };
    [left, right]
}

/// The wire of a station along the spine, no further than something needs it.
fn spine(canvas: &mut Canvas, plan: &Plan, station: usize, x: f64, bare: [bool; 2]) {
    let s = &plan.stations[station];
    let c = &s.columns;
    let taps: Vec<f64> = [c.up_left, c.up_right, c.down_right]
        .into_iter()
        .chain((s.level != Level::Output).then_some(c.down_left))
        .flatten()
        .chain(c.hangs.iter().copied())
        .collect();
    let furthest = taps.iter().copied().reduce(f64::max);
    let nearest = taps.iter().copied().reduce(f64::min);
    let output = s.level == Level::Output;
    let end = if bare[1] { furthest } else { Some(c.end) };
    let start = if bare[0] && !output {
        nearest
    } else {
        Some(c.start)
    };
    if output {
        // the amplifier's output lies half the input distance below the spine
        let pin = Point::new(x, INPUTS / 2.0);
        let corner = Point::new(c.start, INPUTS / 2.0);
        canvas.wire(s.net, &[pin, corner]);
        if end.is_some() {
            canvas.wire(s.net, &[corner, Point::new(c.start, 0.0)]);
        }
    }
    if let (Some(start), Some(end)) = (start, end) {
        canvas.wire(s.net, &[Point::new(start, 0.0), Point::new(end, 0.0)]);
    }
}

fn draw_amplifier(
    pen: &Pen<'_>,
    canvas: &mut Canvas,
    part: usize,
    inverting: bool,
    named: bool,
    x: f64,
) {
    let reading: &Reading<'_> = pen.reading;
    let amp = reading.amplifier(part);
    let nets = [amp.plus.0, amp.minus.0, amp.out.0];
    pen.amplifier(canvas, part, inverting, Point::new(x, 0.0));
    if named {
        let second = if inverting { nets[0] } else { nets[1] };
        let pin = Point::new(x, INPUTS);
        let corner = pin.moved(-GRID, 0.0);
        let end = corner.moved(0.0, GRID);
        canvas.wire(second, &[pin, corner, end]);
        pen.label(canvas, second, end, Towards::Down);
    }
}

/// Height of the line a station lies on.
fn line(plan: &Plan, station: usize) -> f64 {
    match plan.stations[station].level {
        Level::Spine | Level::Output => 0.0,
        Level::Lower => INPUTS,
        Level::Floating(bridge) => plan.bridges[bridge].y,
    }
}

fn hangs(pen: &Pen<'_>, canvas: &mut Canvas, plan: &Plan, station: usize) {
    let s = &plan.stations[station];
    let y = line(plan, station);
    for (hang, &x) in s.hangs.iter().zip(&s.columns.hangs) {
        draw_hang(pen, canvas, hang, s.net, Point::new(x, y));
    }
    if s.level == Level::Lower {
        canvas.wire(
            s.net,
            &[Point::new(s.columns.start, y), Point::new(s.columns.end, y)],
        );
    }
}

fn draw_hang(pen: &Pen<'_>, canvas: &mut Canvas, hang: &Hang, net: usize, top: Point) {
    match hang {
        Hang::Name => {
            let end = top.moved(0.0, GRID);
            canvas.wire(net, &[top, end]);
            pen.label(canvas, net, end, Towards::Down);
        }
        Hang::Terminal(words) => {
            let end = top.moved(0.0, GRID);
            canvas.wire(net, &[top, end]);
            pen.terminal(canvas, net, words, end, Towards::Down);
        }
        Hang::Part(two, other, below) => {
            let start = top.moved(0.0, GRID);
            let end = start.moved(0.0, SPAN);
            canvas.wire(net, &[top, start]);
            pen.two_ended(canvas, two, net, start, end);
            match below.as_slice() {
                [Hang::Name] => pen.label(canvas, *other, end, Towards::Down),
                several => {
                    let mut x = end.x;
                    for (number, next) in several.iter().enumerate() {
                        let from = Point::new(x, end.y);
                        if number > 0 {
                            canvas.wire(*other, &[end, from]);
                        }
                        draw_hang(pen, canvas, next, *other, from);
                        x += next.width();
                    }
                }
            }
        }
    }
}

/// The upright wires of a station's taps.
fn trunks(canvas: &mut Canvas, plan: &Plan, station: usize) {
    let s = &plan.stations[station];
    let y = line(plan, station);
    let reach = |end: usize, side: Side| {
        let heights = plan
            .bridges
            .iter()
            .filter(|b| b.ends[end] == station && b.side == side)
            .map(|b| b.y);
        match side {
            Side::Top => heights.fold(f64::INFINITY, f64::min),
            Side::Bottom => heights.fold(f64::NEG_INFINITY, f64::max),
        }
    };
    let c = &s.columns;
    let below = if s.level == Level::Output {
        INPUTS / 2.0
    } else {
        y
    };
    for (x, to, from) in [
        (c.up_left, reach(1, Side::Top), y),
        (c.up_right, reach(0, Side::Top), y),
        (c.down_left, reach(1, Side::Bottom), below),
        (c.down_right, reach(0, Side::Bottom), y),
    ] {
        if let Some(x) = x
            && to.is_finite()
        {
            canvas.wire(s.net, &[Point::new(x, from), Point::new(x, to)]);
        }
    }
}

fn draw_bridge(pen: &Pen<'_>, canvas: &mut Canvas, plan: &Plan, bridge: &Bridge) {
    let [left, right] = bridge.ends;
    let (l, r) = (&plan.stations[left], &plan.stations[right]);
    let (from, to) = match bridge.side {
        Side::Top => (l.columns.up_right, r.columns.up_left),
        Side::Bottom => (l.columns.down_right, r.columns.down_left),
    };
    let (Some(from), Some(to)) = (from, to) else {
        return;
    };
    let at = |x: f64| Point::new(x, bridge.y);
    if bridge.parts.is_empty() {
        canvas.wire(l.net, &[at(from), at(to)]);
        return;
    }
    let mut x = first_part(plan, bridge, from, to);
    let mut net = l.net;
    canvas.wire(net, &[at(from), at(x)]);
    for (number, two) in bridge.parts.iter().enumerate() {
        pen.two_ended(canvas, two, net, at(x), at(x + SPAN));
        net = two.across(net).unwrap_or(net);
        x += SPAN;
        if let Some(&s) = bridge.between.get(number) {
            let c = &plan.stations[s].columns;
            canvas.wire(net, &[at(c.start), at(c.end)]);
            x = c.end;
        }
    }
    canvas.wire(net, &[at(x), at(to)]);
}

/// Where the first part of a bridge starts: in the middle of a short one, at the end
/// away from the output of a long one.
fn first_part(plan: &Plan, bridge: &Bridge, from: f64, to: f64) -> f64 {
    const LONG: f64 = 60.0;
    if let Some(&s) = bridge.between.first() {
        return plan.stations[s].columns.start - SPAN;
    }
    let length = SPAN * bridge.parts.len() as f64;
    let spare = to - from - length;
    if to - from > LONG {
        let driven_right = plan.stations[bridge.ends[1]].level == Level::Output;
        return if driven_right {
            from + 2.0 * GRID
        } else {
            to - length - 2.0 * GRID
        };
    }
    from + (spare / 2.0 / (GRID / 2.0)).floor() * (GRID / 2.0)
}

fn ends(pen: &Pen<'_>, canvas: &mut Canvas, plan: &Plan, row: usize, right: f64) {
    let mut nets = plan.rows[row].steps.iter().filter_map(|s| match s {
        Step::Station(s) => Some((plan.stations[*s].net, plan.stations[*s].columns.start)),
        _ => None,
    });
    let Some((first, start)) = nets.next() else {
        return;
    };
    let (last, _) = nets.next_back().unwrap_or((first, start));
    match plan.rows[row].ends[0] {
        RowEnd::Terminal => pen.terminal(canvas, first, "IN", Point::new(0.0, 0.0), Towards::Left),
        RowEnd::Flag => pen.label(canvas, first, Point::new(0.0, 0.0), Towards::Left),
        RowEnd::Bare => {}
    }
    let end = Point::new(right, 0.0);
    match plan.rows[row].ends[1] {
        RowEnd::Terminal => pen.terminal(canvas, last, "OUT", end, Towards::Right),
        RowEnd::Flag => pen.label(canvas, last, end, Towards::Right),
        RowEnd::Bare => {}
    }
}
