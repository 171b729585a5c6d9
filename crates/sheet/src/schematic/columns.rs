//! Gives every step of a row its place from left to right, in one pass.

use super::amplifier::REACH;
use super::glyphs::{Body, SPAN};
use super::plan::{Bridge, Columns, Hang, Level, Plan, Side, Step};

/// The grid, mm.
pub(crate) const GRID: f64 = 2.5;
/// Room beside a hanging part for its caption, mm.
const ASIDE: f64 = 12.5;

/// A pen moving right: the next free column on the spine and below it.
struct Pen {
    spine: f64,
    below: f64,
}

/// Places all stations, series parts and amplifiers of a row; returns the left edge of
/// each step and the right end of the row.
pub(crate) fn place(plan: &mut Plan, row: usize) -> (Vec<f64>, f64) {
    let mut pen = Pen {
        spine: 0.0,
        below: -ASIDE,
    };
    let steps = plan.rows[row].steps.clone();
    let mut lefts = Vec::with_capacity(steps.len());
    for (number, step) in steps.iter().enumerate() {
        match step {
            Step::Station(station) => {
                lefts.push(pen.spine);
                let before_part = matches!(
                    steps.get(number + 1),
                    Some(Step::Series(_) | Step::Amplifier(..))
                );
                spine_station(plan, *station, &mut pen, before_part);
            }
            Step::Series(two) => {
                if two.body == Body::Divider {
                    let x = pen.spine.max(pen.below + GRID);
                    stretch(plan, &steps, number, x);
                    pen.spine = x;
                    pen.below = x + 2.0 * ASIDE;
                }
                lefts.push(pen.spine);
                pen.spine += SPAN;
            }
            Step::Amplifier(_, _, lower) => {
                let room = lower.map_or(3.0 * GRID, |s| lower_room(plan, s));
                let x = pen.spine.max(pen.below + room);
                stretch(plan, &steps, number, x);
                lefts.push(x);
                if let Some(station) = lower {
                    lower_station(plan, *station, x);
                }
                pen.spine = x + REACH;
                pen.below = pen.spine;
            }
            Step::Gap => {
                lefts.push(pen.spine);
                pen.spine += 4.0 * GRID;
            }
        }
    }
    (lefts, pen.spine)
}

/// Lets the station before an amplifier reach as far as the amplifier.
fn stretch(plan: &mut Plan, steps: &[Step], amplifier: usize, x: f64) {
    if let Some(Step::Station(before)) = amplifier.checked_sub(1).map(|i| &steps[i]) {
        plan.stations[*before].columns.end = x;
    }
}

/// Which taps a station needs: up-left, up-right, down-left, down-right.
fn taps(plan: &Plan, station: usize) -> [bool; 4] {
    let has = |end: usize, side: Side| {
        plan.bridges
            .iter()
            .any(|b| b.ends[end] == station && b.side == side)
    };
    [
        has(1, Side::Top),
        has(0, Side::Top),
        has(1, Side::Bottom),
        has(0, Side::Bottom),
    ]
}

/// Length a bridge needs between its taps, mm.
fn need(plan: &Plan, bridge: &Bridge) -> f64 {
    let inside: f64 = bridge.between.iter().map(|&s| floating_room(plan, s)).sum();
    let parts = bridge.parts.len() as f64;
    if bridge.parts.is_empty() {
        GRID
    } else {
        SPAN * parts + 2.0 * GRID + inside
    }
}

/// Room of a floating station between its two parts, mm.
fn floating_room(plan: &Plan, station: usize) -> f64 {
    let [up_left, up_right, _, _] = taps(plan, station);
    let hangs: f64 = floating_steps(plan, station).into_iter().sum();
    GRID * (1.0 + f64::from(u8::from(up_left)) + f64::from(u8::from(up_right))) + hangs
}

/// Room from each part that hangs from a floating station to what comes next, mm. Beside
/// the last one the line goes on, and its caption stands lower.
fn floating_steps(plan: &Plan, station: usize) -> Vec<f64> {
    let hangs = &plan.stations[station].hangs;
    let last = hangs.len().saturating_sub(1);
    let width = |(number, hang): (usize, &Hang)| match number == last {
        true => GRID,
        false => hang.width(),
    };
    hangs.iter().enumerate().map(width).collect()
}

/// Least column of a tap where bridges from the left arrive on that side.
fn arrival(plan: &Plan, station: usize, side: Side) -> f64 {
    plan.bridges
        .iter()
        .filter(|b| b.ends[1] == station && b.side == side)
        .map(|b| {
            let from = &plan.stations[b.ends[0]].columns;
            let tap = match side {
                Side::Top => from.up_right,
                Side::Bottom => from.down_right,
            };
            tap.unwrap_or(from.end) + need(plan, b)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

fn spine_station(plan: &mut Plan, station: usize, pen: &mut Pen, before_part: bool) {
    let [_, up_right, _, down_right] = taps(plan, station);
    let mut columns = plan.stations[station].columns.clone();
    columns.start = pen.spine;
    let mut next = if plan.stations[station].level == Level::Output {
        output_trunk(plan, station, &mut columns, pen)
    } else {
        taps_to_the_left(plan, station, &mut columns, pen)
    };
    for hang in plan.stations[station].hangs.clone() {
        let lead = if matches!(hang, Hang::Name | Hang::Terminal(_)) {
            GRID
        } else {
            0.0
        };
        let x = next.max(pen.below + lead);
        columns.hangs.push(x);
        pen.below = x + hang.width();
        next = x + GRID;
    }
    if up_right {
        columns.up_right = Some(next);
        next += GRID;
    }
    if down_right {
        let x = next.max(pen.below);
        columns.down_right = Some(x);
        pen.below = x + GRID;
        next = x + GRID;
    }
    columns.end = if before_part {
        next
    } else {
        next.max(pen.spine + 2.0 * GRID)
    };
    pen.spine = columns.end;
    plan.stations[station].columns = columns;
    settle_floating(plan, station);
}

/// The trunk of an output, which carries both taps to the left; returns the next column.
fn output_trunk(plan: &Plan, station: usize, columns: &mut Columns, pen: &mut Pen) -> f64 {
    let [up_left, _, down_left, _] = taps(plan, station);
    let mut x = pen.spine + GRID;
    for (tap, side) in [(up_left, Side::Top), (down_left, Side::Bottom)] {
        if tap {
            x = x.max(arrival(plan, station, side));
        }
    }
    columns.up_left = up_left.then_some(x);
    columns.down_left = down_left.then_some(x);
    columns.start = x;
    let clear = if down_left { 2.0 * GRID } else { GRID };
    pen.below = pen.below.max(x + clear);
    x + GRID
}

/// Taps to the left of a station behind a part; returns the next column.
fn taps_to_the_left(plan: &Plan, station: usize, columns: &mut Columns, pen: &mut Pen) -> f64 {
    let [up_left, _, down_left, _] = taps(plan, station);
    let mut next = pen.spine + GRID;
    if up_left {
        let x = next.max(arrival(plan, station, Side::Top));
        columns.up_left = Some(x);
        next = x + GRID;
    }
    if down_left {
        let x = next
            .max(arrival(plan, station, Side::Bottom))
            .max(pen.below);
        columns.down_left = Some(x);
        next = x + GRID;
        pen.below = x + 2.0 * GRID;
    }
    next
}

/// Room an amplifier's second input needs to its left, mm.
fn lower_room(plan: &Plan, station: usize) -> f64 {
    let [_, _, down_left, down_right] = taps(plan, station);
    let hangs: f64 = plan.stations[station].hangs.iter().map(Hang::width).sum();
    GRID * (1.0 + f64::from(u8::from(down_left)) + 2.0 * f64::from(u8::from(down_right))) + hangs
}

/// Places the taps of an amplifier's second input, from the amplifier leftwards.
fn lower_station(plan: &mut Plan, station: usize, amplifier: f64) {
    let [_, _, down_left, down_right] = taps(plan, station);
    let mut columns = plan.stations[station].columns.clone();
    columns.end = amplifier;
    let mut next = amplifier - GRID;
    if down_right {
        columns.down_right = Some(next);
        next -= 2.0 * GRID;
    }
    for hang in &plan.stations[station].hangs {
        // the caption of a hanging part stands to its left here when the right is taken
        columns.hangs.push(next);
        next -= hang.width();
    }
    if down_left {
        let x = next.max(amplifier - lower_room(plan, station));
        columns.down_left = Some(x.max(arrival(plan, station, Side::Bottom)));
    }
    columns.start = [columns.down_left, columns.down_right]
        .into_iter()
        .flatten()
        .chain(columns.hangs.iter().copied())
        .fold(amplifier - GRID, f64::min);
    plan.stations[station].columns = columns;
}

/// Places the floating stations of bridges that end here.
fn settle_floating(plan: &mut Plan, station: usize) {
    for number in 0..plan.bridges.len() {
        let bridge = plan.bridges[number].clone();
        if bridge.ends[1] != station || bridge.between.is_empty() {
            continue;
        }
        let left = plan.stations[bridge.ends[0]].columns.up_right;
        let right = plan.stations[station].columns.up_left;
        let (Some(left), Some(right)) = (left, right) else {
            continue;
        };
        let spare = right - left - need(plan, &bridge);
        let mut x = left + GRID + (spare / 2.0 / GRID).floor() * GRID + SPAN;
        for &s in &bridge.between {
            x = floating(plan, s, x) + SPAN;
        }
    }
}

/// Places the taps of a floating station from `x`; returns where the next part starts.
fn floating(plan: &mut Plan, station: usize, x: f64) -> f64 {
    let [up_left, up_right, _, _] = taps(plan, station);
    let mut columns = plan.stations[station].columns.clone();
    columns.start = x;
    let mut next = x + GRID;
    if up_left {
        columns.up_left = Some(next);
        next += GRID;
    }
    for step in floating_steps(plan, station) {
        columns.hangs.push(next);
        next += step;
    }
    if up_right {
        columns.up_right = Some(next);
        next += GRID;
    }
    columns.end = x + floating_room(plan, station);
    plan.stations[station].columns = columns;
    next.max(x + floating_room(plan, station))
}
