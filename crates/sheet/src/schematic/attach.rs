//! Gives every part that is not on the spine its place: hanging from a station,
//! bridging two stations, or on its own with named ends.

use super::glyphs::Body;
use super::plan::{Bridge, Hang, Level, Plan, RowEnd, Side, Step};
use super::reading::{Reading, TwoEnded};

/// How places of one net that lie apart are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Joints {
    /// By wires within a row, by name between rows.
    Wires,
    /// By name everywhere, for a netlist too tangled to wire.
    Names,
}

/// Attaches what the spine left over. Every net ends up joined by wires or by name.
pub(crate) fn attach(reading: &Reading<'_>, plan: &mut Plan, joints: Joints) {
    let wired = joints == Joints::Wires;
    let mut left = leftovers(reading, plan);
    plan.loose.extend(reading.loose.iter().copied());
    let pots = left.iter().filter(|t| t.body == Body::Divider);
    plan.loose.extend(pots.map(|t| t.part));
    left.retain(|t| t.body != Body::Divider);
    if wired {
        wire_twins(plan);
        float(reading, plan, &mut left);
    }
    let mut named: Vec<usize> = Vec::new();
    for two in left {
        let [a, b] = two.ends;
        let on = |net: usize| plan.of_net(net).next().is_some();
        let (rail_a, rail_b) = (reading.is_rail(a), reading.is_rail(b));
        if on(a) && on(b) && !rail_a && !rail_b {
            if let Some(ends) = plan.nearest(a, b).filter(|_| wired) {
                bridge(plan, ends, vec![two], Vec::new());
            } else {
                named.push(a);
                let from = plan.main(b);
                hang(plan, from, Hang::Part(two, a, vec![Hang::Name]));
            }
        } else if on(a) && !rail_a {
            named.push(b);
            let from = plan.main(a);
            hang(plan, from, Hang::Part(two, b, vec![Hang::Name]));
        } else if on(b) && !rail_b {
            named.push(a);
            let from = plan.main(b);
            hang(plan, from, Hang::Part(two, a, vec![Hang::Name]));
        } else {
            named.extend([a, b]);
            plan.loose.push(two.part);
        }
    }
    for &part in &plan.loose {
        let nodes = reading.circuit.parts[part].element.nodes();
        named.extend(nodes.iter().map(|n| n.0));
    }
    for amp in &reading.amplifiers {
        let a = reading.amplifier(*amp);
        named.extend(
            [a.plus.0, a.minus.0, a.out.0]
                .into_iter()
                .filter(|n| reading.is_rail(*n)),
        );
    }
    name_nets(plan, &named, wired);
}

/// Two-ended parts that are not on the spine.
fn leftovers(reading: &Reading<'_>, plan: &Plan) -> Vec<TwoEnded> {
    let on_spine: Vec<usize> = plan
        .rows
        .iter()
        .flat_map(|r| &r.steps)
        .filter_map(|s| match s {
            Step::Series(two) => Some(two.part),
            _ => None,
        })
        .collect();
    reading
        .two_ended
        .iter()
        .filter(|t| !on_spine.contains(&t.part))
        .cloned()
        .collect()
}

/// Joins stations of one net in one row by plain wires, neighbour to neighbour.
fn wire_twins(plan: &mut Plan) {
    for right in 0..plan.stations.len() {
        let twin = (0..plan.stations.len())
            .filter(|&left| {
                let (l, r) = (&plan.stations[left], &plan.stations[right]);
                l.net == r.net && l.row == r.row && l.rank < r.rank
            })
            .max_by(|&a, &b| plan.stations[a].rank.total_cmp(&plan.stations[b].rank));
        if let Some(left) = twin {
            bridge(plan, [left, right], Vec::new(), Vec::new());
        }
    }
}

fn bridge(plan: &mut Plan, ends: [usize; 2], parts: Vec<TwoEnded>, between: Vec<usize>) {
    let low = |s: usize| plan.stations[s].level == Level::Lower;
    let side = if ends.iter().any(|&s| low(s)) {
        Side::Bottom
    } else {
        Side::Top
    };
    plan.bridges.push(Bridge {
        ends,
        parts,
        between,
        side,
        y: 0.0,
    });
}

fn hang(plan: &mut Plan, station: Option<usize>, hang: Hang) {
    match station {
        Some(station) => plan.stations[station].hangs.push(hang),
        None => {
            if let Hang::Part(two, _, _) = hang {
                plan.loose.push(two.part);
            }
        }
    }
}

/// Places nets that lie on no station: the middle of a bridge of two parts, or the
/// inside of a tree that hangs from one station.
fn float(reading: &Reading<'_>, plan: &mut Plan, left: &mut Vec<TwoEnded>) {
    let mut nets: Vec<usize> = left
        .iter()
        .flat_map(|t| t.ends)
        .filter(|&n| !reading.is_rail(n) && plan.of_net(n).next().is_none())
        .collect();
    nets.sort_unstable();
    nets.dedup();
    let by_name: Vec<usize> = plan
        .loose
        .iter()
        .flat_map(|&p| reading.circuit.parts[p].element.nodes())
        .map(|n| n.0)
        .collect();
    for net in nets {
        if plan.of_net(net).next().is_none() && !by_name.contains(&net) {
            let _ = middle(plan, left, net) || tree(reading, plan, left, net);
        }
    }
}

/// Makes `net` the middle of a bridge between its two leftmost stations of one row: the
/// first row in which the most of its neighbours stand.
fn middle(plan: &mut Plan, left: &mut Vec<TwoEnded>, net: usize) -> bool {
    let best = (0..plan.rows.len())
        .map(|row| arms(plan, left, net, row))
        .enumerate()
        .max_by_key(|(row, arms)| (arms.len(), std::cmp::Reverse(*row)));
    let Some((row, arms)) = best else {
        return false;
    };
    let Some(first) = arms.first().cloned() else {
        return false;
    };
    let other = |s: usize| plan.stations[s].net != plan.stations[first.0].net;
    let Some(second) = arms.iter().find(|(s, _)| other(*s)).cloned() else {
        return false;
    };
    let rank = (plan.stations[first.0].rank + plan.stations[second.0].rank) / 2.0 + 0.1;
    let number = plan.bridges.len();
    let station = plan.station(net, row, rank, Level::Floating(number));
    left.retain(|t| t.part != first.1.part && t.part != second.1.part);
    bridge(
        plan,
        [first.0, second.0],
        vec![first.1, second.1],
        vec![station],
    );
    plan.bridges[number].side = Side::Top;
    true
}

/// The parts from `net` to stations on the spine of one row, leftmost station first.
fn arms(plan: &Plan, left: &[TwoEnded], net: usize, row: usize) -> Vec<(usize, TwoEnded)> {
    let mut arms: Vec<(usize, TwoEnded)> = left
        .iter()
        .filter_map(|t| {
            let other = t.across(net)?;
            let station = plan
                .of_net(other)
                .find(|&s| plan.stations[s].row == row && plan.stations[s].level != Level::Lower)?;
            Some((station, t.clone()))
        })
        .collect();
    let rank = |s: usize| plan.stations[s].rank;
    arms.sort_by(|a, b| rank(a.0).total_cmp(&rank(b.0)));
    arms
}

/// Hangs the tree of parts behind `net` from its only station, if it is a tree.
fn tree(reading: &Reading<'_>, plan: &mut Plan, left: &mut Vec<TwoEnded>, net: usize) -> bool {
    let roots: Vec<(usize, TwoEnded)> = left
        .iter()
        .filter_map(|t| {
            let other = t.across(net)?;
            let station = plan.of_net(other).next()?;
            (!reading.is_rail(other)).then(|| (station, t.clone()))
        })
        .collect();
    let [(station, root)] = roots.as_slice() else {
        return false;
    };
    let mut taken = vec![root.part];
    let Some(below) = branches(reading, plan, left, net, &mut taken) else {
        return false;
    };
    left.retain(|t| !taken.contains(&t.part));
    plan.stations[*station]
        .hangs
        .push(Hang::Part(root.clone(), net, below));
    true
}

/// What hangs from a floating net; nothing if the parts behind it form no tree.
fn branches(
    reading: &Reading<'_>,
    plan: &Plan,
    left: &[TwoEnded],
    net: usize,
    taken: &mut Vec<usize>,
) -> Option<Vec<Hang>> {
    const MOST: usize = 12;
    let mut below = Vec::new();
    let next: Vec<(TwoEnded, usize)> = left
        .iter()
        .filter(|t| !taken.contains(&t.part))
        .filter_map(|t| t.across(net).map(|other| (t.clone(), other)))
        .collect();
    taken.extend(next.iter().map(|(t, _)| t.part));
    for (two, other) in next {
        if taken.len() > MOST || (!reading.is_rail(other) && plan.of_net(other).next().is_some()) {
            return None;
        }
        let deeper = if reading.is_rail(other) {
            vec![Hang::Name]
        } else {
            branches(reading, plan, left, other, taken)?
        };
        below.push(Hang::Part(two, other, deeper));
    }
    Some(below)
}

/// Names every net that needs it wherever its stations are not joined by wire: nets
/// with stations in several rows, and those another place refers to by name.
fn name_nets(plan: &mut Plan, named: &[usize], wired: bool) {
    let mut nets: Vec<usize> = plan.stations.iter().map(|s| s.net).collect();
    nets.sort_unstable();
    nets.dedup();
    for net in nets {
        let stations: Vec<usize> = plan.of_net(net).collect();
        if !wired {
            for s in stations {
                plan.stations[s].hangs.push(Hang::Name);
            }
            continue;
        }
        let mut rows: Vec<usize> = stations.iter().map(|&s| plan.stations[s].row).collect();
        rows.sort_unstable();
        rows.dedup();
        if rows.len() < 2 && !named.contains(&net) {
            continue;
        }
        for row in rows {
            if !flagged_at_end(plan, net, row)
                && let Some(&s) = stations.iter().find(|&&s| plan.stations[s].row == row)
            {
                plan.stations[s].hangs.push(Hang::Name);
            }
        }
    }
}

/// Whether the row already carries the name of the net at one of its ends.
fn flagged_at_end(plan: &Plan, net: usize, row: usize) -> bool {
    let [start, end] = plan.rows[row].ends;
    let mut stations = plan.rows[row].steps.iter().filter_map(|s| match s {
        Step::Station(s) => Some(plan.stations[*s].net),
        _ => None,
    });
    let first = stations.next();
    let last = stations.next_back().or(first);
    (start != RowEnd::Bare && first == Some(net)) || (end != RowEnd::Bare && last == Some(net))
}
