//! Which bridges go over the row and which under it, and how they nest.
//!
//! Two bridges on one side cross when their spans interleave; a bridge that would
//! cross goes to the other side if it crosses less there.

use super::plan::{Level, Plan, Side};

/// The span of a bridge in ranks.
pub(crate) fn span(plan: &Plan, bridge: usize) -> (f64, f64) {
    let [a, b] = plan.bridges[bridge].ends;
    (plan.stations[a].rank, plan.stations[b].rank)
}

/// Whether the insides of two spans share anything.
pub(crate) fn overlap(a: (f64, f64), b: (f64, f64)) -> bool {
    a.0 < b.1 - 1e-9 && b.0 < a.1 - 1e-9
}

/// Whether two spans interleave: each has exactly one end inside the other.
fn interleave(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 < b.0 - 1e-9 && b.0 < a.1 - 1e-9 && a.1 < b.1 - 1e-9)
        || (b.0 < a.0 - 1e-9 && a.0 < b.1 - 1e-9 && b.1 < a.1 - 1e-9)
}

/// Most bridges of which every assignment is tried.
const MOST: usize = 12;

/// Sends each bridge that may go either way over or under, so that as few cross as
/// possible and, of equals, as many go over as possible.
pub(crate) fn choose(plan: &mut Plan) {
    for row in 0..plan.rows.len() {
        let here: Vec<usize> = (0..plan.bridges.len())
            .filter(|&b| plan.stations[plan.bridges[b].ends[0]].row == row)
            .collect();
        let movable: Vec<usize> = here
            .iter()
            .copied()
            .filter(|&b| {
                free(plan, b)
                    && here
                        .iter()
                        .any(|&o| interleave(span(plan, b), span(plan, o)))
            })
            .take(MOST)
            .collect();
        let mut best = (f64::INFINITY, 0_u32);
        for under in 0..(1_u32 << movable.len()) {
            assign(plan, &movable, under);
            let cost = cost(plan, &here) + 0.01 * f64::from(under.count_ones());
            if cost < best.0 - 1e-9 {
                best = (cost, under);
            }
        }
        assign(plan, &movable, best.1);
    }
}

fn assign(plan: &mut Plan, movable: &[usize], under: u32) {
    for (bit, &bridge) in movable.iter().enumerate() {
        plan.bridges[bridge].side = if under & (1 << bit) == 0 {
            Side::Top
        } else {
            Side::Bottom
        };
    }
}

/// Crossings among these bridges; those through a bridge with a middle count three times.
fn cost(plan: &Plan, bridges: &[usize]) -> f64 {
    let mut cost = 0.0;
    for (i, &a) in bridges.iter().enumerate() {
        for &b in &bridges[..i] {
            let (p, q) = (&plan.bridges[a], &plan.bridges[b]);
            if p.side == q.side && interleave(span(plan, a), span(plan, b)) {
                let middle = !p.between.is_empty() || !q.between.is_empty();
                cost += if middle { 3.0 } else { 1.0 };
            }
        }
    }
    cost
}

/// Whether the two bridges lie in one row.
pub(crate) fn same_row(plan: &Plan, a: usize, b: usize) -> bool {
    let row = |b: usize| plan.stations[plan.bridges[b].ends[0]].row;
    row(a) == row(b)
}

/// Whether the bridge may go over or under: both ends on the spine, nothing between.
fn free(plan: &Plan, bridge: usize) -> bool {
    let b = &plan.bridges[bridge];
    b.between.is_empty()
        && b.ends
            .iter()
            .all(|&s| matches!(plan.stations[s].level, Level::Spine | Level::Output))
}
