//! The order in which amplifiers stand from left to right.
//!
//! An amplifier follows another when parts lead from the other's output to one of its
//! inputs without passing a rail or another output. Loops are broken where the fewest
//! neighbours in the row are strangers; all orders of one loop are tried, for a loop of
//! up to seven amplifiers.

use super::reading::Reading;

/// Amplifiers (indices of parts) in drawing order, each with the number of its loop:
/// amplifiers that feed each other share one.
pub(crate) fn amplifiers(reading: &Reading<'_>) -> Vec<(usize, usize)> {
    let count = reading.amplifiers.len();
    let feeds: Vec<Vec<bool>> = (0..count)
        .map(|i| fed_by(reading, reading.amplifier(reading.amplifiers[i]).out.0))
        .collect();
    let first = fed_by(reading, reading.circuit.input.0);
    let reach = closure(&feeds);
    let mut left: Vec<usize> = (0..count).collect();
    let mut order: Vec<usize> = Vec::new();
    let mut loops: Vec<usize> = Vec::new();
    while !left.is_empty() {
        let ready = next_loop(&left, &reach, &first, order.last().map(|&l| &feeds[l]));
        left.retain(|a| !ready.contains(a));
        let before = order.last().map_or(&first, |&l| &feeds[l]);
        let arranged = arrange(&ready, before, &feeds);
        let number = loops.last().map_or(0, |l| l + 1);
        loops.extend(arranged.iter().map(|_| number));
        order.extend(arranged);
    }
    let parts = order.into_iter().map(|i| reading.amplifiers[i]);
    parts.zip(loops).collect()
}

/// Which amplifiers have an input that the net leads to.
fn fed_by(reading: &Reading<'_>, net: usize) -> Vec<bool> {
    let driven = reading.driven();
    let mut seen = vec![net];
    let mut at = 0;
    while at < seen.len() {
        for two in &reading.two_ended {
            if let Some(next) = two.across(seen[at])
                && !seen.contains(&next)
                && !reading.is_rail(next)
                && !driven.contains(&next)
            {
                seen.push(next);
            }
        }
        at += 1;
    }
    reading
        .amplifiers
        .iter()
        .map(|&a| {
            let amp = reading.amplifier(a);
            seen.contains(&amp.plus.0) || seen.contains(&amp.minus.0)
        })
        .collect()
}

fn closure(feeds: &[Vec<bool>]) -> Vec<Vec<bool>> {
    let mut reach = feeds.to_vec();
    for via in 0..reach.len() {
        let through = reach[via].clone();
        for row in &mut reach {
            if row[via] {
                for (cell, &also) in row.iter_mut().zip(&through) {
                    *cell |= also;
                }
            }
        }
    }
    reach
}

/// The next group of mutually fed amplifiers that nothing left over must precede;
/// of several, the one the last amplifier feeds, then the one the input feeds.
fn next_loop(
    left: &[usize],
    reach: &[Vec<bool>],
    first: &[bool],
    last: Option<&Vec<bool>>,
) -> Vec<usize> {
    let ready = |a: usize| left.iter().all(|&b| !reach[b][a] || reach[a][b] || b == a);
    let rank = |a: usize| {
        let fed = last.is_some_and(|l| l[a]);
        (!fed, !first[a], a)
    };
    let head = left
        .iter()
        .copied()
        .filter(|&a| ready(a))
        .min_by_key(|&a| rank(a))
        .unwrap_or(left[0]);
    left.iter()
        .copied()
        .filter(|&a| a == head || (reach[a][head] && reach[head][a]))
        .collect()
}

/// The order of one loop with the fewest strangers side by side.
fn arrange(group: &[usize], before: &[bool], feeds: &[Vec<bool>]) -> Vec<usize> {
    const MOST: usize = 7;
    if group.len() > MOST {
        return group.to_vec();
    }
    let strangers = |order: &[usize]| {
        let start = usize::from(!before[order[0]]);
        let pairs = order.windows(2).filter(|p| !feeds[p[0]][p[1]]).count();
        start + pairs
    };
    let mut best = group.to_vec();
    let mut trial = group.to_vec();
    permute(&mut trial, 0, &mut |order| {
        if strangers(order) < strangers(&best) {
            best = order.to_vec();
        }
    });
    best
}

fn permute(items: &mut Vec<usize>, from: usize, visit: &mut dyn FnMut(&[usize])) {
    if from == items.len() {
        visit(items);
        return;
    }
    for at in from..items.len() {
        items[from..=at].rotate_right(1);
        permute(items, from + 1, visit);
        items[from..=at].rotate_left(1);
    }
}
