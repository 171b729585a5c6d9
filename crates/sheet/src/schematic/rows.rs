//! Lays the segments of a chain into rows of stations.

use super::plan::{Hang, Level, Plan, Row, RowEnd, Step};
use super::reading::Reading;
use super::spine::Segment;

/// Steps between ranks of neighbouring stations.
const RANK: f64 = 4.0;

/// Builds the rows: `cuts[i]` says that segment `i` starts a new row.
pub(crate) fn rows(reading: &Reading<'_>, chain: &[Segment], cuts: &[bool]) -> Plan {
    let mut plan = Plan::default();
    let mut rank = 0.0;
    let mut last: Option<usize> = None;
    let mut tapped_out = false;
    for (number, segment) in chain.iter().enumerate() {
        if number == 0 || cuts[number] {
            plan.rows.push(Row {
                steps: Vec::new(),
                ends: [RowEnd::Bare, RowEnd::Bare],
            });
            last = None;
        }
        if let Some(tapped) = tapped_output(&plan, segment, last) {
            plan.stations[tapped]
                .hangs
                .push(Hang::Terminal("OUT".to_owned()));
            tapped_out = true;
            break;
        }
        let at = start(&mut plan, segment, last, &mut rank);
        last = Some(lay(reading, &mut plan, segment, at, &mut rank));
    }
    finish(reading, &mut plan, tapped_out);
    plan
}

/// The station where the output is tapped, if that is not the last one.
fn tapped_output(plan: &Plan, segment: &Segment, last: Option<usize>) -> Option<usize> {
    let only = segment.path.is_empty() && segment.amplifier.is_none();
    let elsewhere = last.is_none_or(|s| plan.stations[s].net != segment.start);
    plan.main(segment.start).filter(|_| only && elsewhere)
}

/// The station a segment starts from: the last one, or a new one behind a gap.
fn start(plan: &mut Plan, segment: &Segment, last: Option<usize>, rank: &mut f64) -> usize {
    if let Some(station) = last
        && plan.stations[station].net == segment.start
    {
        return station;
    }
    let row = plan.rows.len() - 1;
    if last.is_some() {
        plan.rows[row].steps.push(Step::Gap);
    }
    *rank += RANK;
    let station = plan.station(segment.start, row, *rank, Level::Spine);
    plan.rows[row].steps.push(Step::Station(station));
    station
}

/// Lays the parts and the amplifier of a segment; returns its last station.
fn lay(
    reading: &Reading<'_>,
    plan: &mut Plan,
    segment: &Segment,
    start: usize,
    rank: &mut f64,
) -> usize {
    let row = plan.rows.len() - 1;
    let mut last = start;
    for (two, net) in &segment.path {
        *rank += RANK;
        last = plan.station(*net, row, *rank, Level::Spine);
        plan.rows[row].steps.push(Step::Series(two.clone()));
        plan.rows[row].steps.push(Step::Station(last));
    }
    let Some((part, inverting)) = segment.amplifier else {
        return last;
    };
    let amp = reading.amplifier(part);
    let second = if inverting { amp.plus.0 } else { amp.minus.0 };
    let lower = (!reading.is_rail(second))
        .then(|| plan.station(second, row, *rank + RANK / 2.0, Level::Lower));
    *rank += RANK;
    let out = plan.station(amp.out.0, row, *rank, Level::Output);
    plan.rows[row]
        .steps
        .push(Step::Amplifier(part, inverting, lower));
    plan.rows[row].steps.push(Step::Station(out));
    out
}

/// Decides what stands at the ends of the rows.
fn finish(reading: &Reading<'_>, plan: &mut Plan, tapped: bool) {
    let count = plan.rows.len();
    for row in 0..count {
        let start = if row == 0 && end_net(plan, row, false) == Some(reading.circuit.input.0) {
            RowEnd::Terminal
        } else {
            RowEnd::Flag
        };
        let end = if row + 1 == count {
            if tapped {
                RowEnd::Bare
            } else {
                RowEnd::Terminal
            }
        } else if end_net(plan, row, true) == end_net(plan, row + 1, false) {
            RowEnd::Flag
        } else {
            RowEnd::Bare
        };
        plan.rows[row].ends = [start, end];
    }
}

/// The net of the first or last station of a row.
fn end_net(plan: &Plan, row: usize, last: bool) -> Option<usize> {
    let mut nets = plan.rows[row].steps.iter().filter_map(|step| match step {
        Step::Station(s) => Some(plan.stations[*s].net),
        _ => None,
    });
    if last { nets.next_back() } else { nets.next() }
}
