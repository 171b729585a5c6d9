//! Gives every bridge its height: nested ones further from the spine.

use super::amplifier::{INPUTS, OVERHANG};
use super::plan::{Hang, Level, Plan, Side};
use super::sides::{overlap, same_row, span};

/// Height of the first line over the spine, mm.
const FIRST: f64 = 12.5;
/// Distance between two lines with parts, mm.
const PITCH: f64 = 10.0;
/// Distance of a plain wire from its neighbours, mm.
const WIRE: f64 = 7.5;
/// Extra height for parts hanging from the middle of a bridge, mm.
const LEG: f64 = 22.5;

/// Places the bridges of a row.
pub(crate) fn place(plan: &mut Plan, row: usize) {
    let mut order: Vec<usize> = (0..plan.bridges.len())
        .filter(|&b| plan.stations[plan.bridges[b].ends[0]].row == row)
        .collect();
    let length = |plan: &Plan, b: usize| {
        let s = span(plan, b);
        s.1 - s.0
    };
    order.sort_by(|&a, &b| {
        let inside = |b: usize| plan.bridges[b].ends.map(|s| leg(plan, s));
        let later = |b: usize| inside(b).contains(&true);
        (later(a), length(plan, a))
            .partial_cmp(&(later(b), length(plan, b)))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut done: Vec<usize> = Vec::new();
    for bridge in order {
        plan.bridges[bridge].y = match plan.bridges[bridge].side {
            Side::Top => above(plan, bridge, &done),
            Side::Bottom => below(plan, bridge, &done),
        };
        done.push(bridge);
    }
}

/// Whether the station lies between the parts of a bridge.
fn leg(plan: &Plan, station: usize) -> bool {
    matches!(plan.stations[station].level, Level::Floating(_))
}

/// Bridges already placed on the same side that this one must clear.
fn rivals<'a>(
    plan: &'a Plan,
    bridge: usize,
    done: &'a [usize],
) -> impl Iterator<Item = usize> + 'a {
    done.iter().copied().filter(move |&other| {
        plan.bridges[other].side == plan.bridges[bridge].side
            && same_row(plan, other, bridge)
            && overlap(span(plan, other), span(plan, bridge))
    })
}

fn above(plan: &Plan, bridge: usize, done: &[usize]) -> f64 {
    let b = &plan.bridges[bridge];
    let legs = b
        .between
        .iter()
        .flat_map(|&s| &plan.stations[s].hangs)
        .map(Hang::depth)
        .fold(0.0, f64::max);
    let extra = if legs > 0.0 {
        LEG - FIRST + legs - 17.1
    } else {
        0.0
    };
    let inner = rivals(plan, bridge, done)
        .map(|other| {
            let gap = if plan.bridges[other].parts.is_empty() && b.parts.is_empty() {
                5.0
            } else if plan.bridges[other].parts.is_empty() || b.parts.is_empty() {
                WIRE
            } else {
                PITCH
            };
            plan.bridges[other].y - gap
        })
        .fold(-FIRST, f64::min);
    inner - (extra / 2.5).ceil() * 2.5
}

fn below(plan: &Plan, bridge: usize, done: &[usize]) -> f64 {
    let b = &plan.bridges[bridge];
    let [left, right] = b.ends;
    let column = |s: usize, tap: fn(&super::plan::Columns) -> Option<f64>| {
        let c = &plan.stations[s].columns;
        tap(c).unwrap_or(c.end)
    };
    let from = column(left, |c| c.down_right);
    let to = column(right, |c| c.down_left);
    let row = plan.stations[left].row;
    let hung = plan
        .stations
        .iter()
        .filter(|s| s.row == row && !matches!(s.level, Level::Floating(_)))
        .flat_map(|s| {
            let base = if s.level == Level::Lower { INPUTS } else { 0.0 };
            s.columns.hangs.iter().zip(&s.hangs).map(move |(&x, h)| {
                // the caption stands to the right, at a second input to the left
                let room = h.width() - 2.5;
                let (left, right) = if base > 0.0 { (room, 2.5) } else { (2.5, room) };
                (x - left, x + right, base + h.depth())
            })
        })
        .filter(|&(x, end, _)| x < to && end > from)
        .map(|(_, _, depth)| depth)
        .fold(INPUTS + OVERHANG, f64::max);
    let passes = to - from > 30.0;
    let floor = if passes { hung.max(12.5) } else { hung };
    let start = if b.parts.is_empty() { 2.5 } else { 5.0 };
    let first = ((floor + start) / 2.5).ceil() * 2.5;
    rivals(plan, bridge, done)
        .map(|other| {
            let plain = plan.bridges[other].parts.is_empty() && b.parts.is_empty();
            plan.bridges[other].y + if plain { 5.0 } else { PITCH }
        })
        .fold(first, f64::max)
}
