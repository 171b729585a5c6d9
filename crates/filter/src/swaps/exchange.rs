//! Values moved to their neighbours, one and two at a time, until nothing gets better.
//!
//! Every move is measured. What comes out is the best among all its neighbours, not proven the
//! best of all.

use super::archive::Archive;
use super::bench::{Bench, Judge};
use super::choice::Choice;
use super::{Place, Stock, Swaps};

/// Rounds at most: each lessens the error.
const ROUNDS: usize = 40;
/// Candidates a single value moves at most; two at once move by one each.
const STEPS: usize = 2;
/// An exchange of this many places and more takes pairs only among those that gained or lost
/// least when moved alone.
const ALL_PAIRS: usize = 12;

/// Moves the picks of `members`, from `start`, as long as that lessens the error.
pub(super) fn exchange<J: Judge>(
    bench: &Bench<'_, J>,
    stock: &Stock,
    archive: &mut Archive,
    start: Choice,
    members: &[usize],
) -> Choice {
    archive.measure(bench, stock, [start.clone()]);
    let mut best = start;
    for _ in 0..ROUNDS {
        let before = archive.error(&best).unwrap_or(f64::INFINITY);
        let singles = singles(bench, &best, members);
        let moved: Vec<Choice> = singles.iter().map(|s| s.1.clone()).collect();
        archive.measure(bench, stock, moved.iter().cloned());
        let single = least(archive, &moved);
        let next = single.filter(|s| s.0 < 0.98 * before).or_else(|| {
            let pairs = pairs(bench, archive, &best, &singles);
            archive.measure(bench, stock, pairs.iter().cloned());
            least(archive, &pairs)
                .into_iter()
                .chain(least(archive, &moved))
                .min_by(by_error)
        });
        match next.filter(|n| n.0 < before * (1.0 - 1e-9)) {
            Some((_, choice)) => best = choice,
            None => break,
        }
    }
    best
}

fn by_error(a: &(f64, Choice), b: &(f64, Choice)) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
}

fn least(archive: &Archive, choices: &[Choice]) -> Option<(f64, Choice)> {
    let measured = choices
        .iter()
        .filter_map(|c| Some((archive.error(c)?, c.clone())));
    measured.min_by(by_error)
}

/// Every single move, with its place.
fn singles<J: Judge>(
    bench: &Bench<'_, J>,
    from: &Choice,
    members: &[usize],
) -> Vec<(usize, Choice)> {
    let mut all = Vec::new();
    for &place in members {
        for pick in from.near(bench.places, place, STEPS) {
            all.push((place, from.with(place, pick)));
        }
    }
    all
}

/// Two places moved by one candidate each.
fn pairs<J: Judge>(
    bench: &Bench<'_, J>,
    archive: &Archive,
    from: &Choice,
    singles: &[(usize, Choice)],
) -> Vec<Choice> {
    let mut harm: Vec<(usize, f64)> = Vec::new();
    for (place, choice) in singles {
        let error = archive.error(choice).unwrap_or(f64::INFINITY);
        match harm.iter_mut().find(|(p, _)| p == place) {
            Some((_, least)) => *least = least.min(error),
            None => harm.push((*place, error)),
        }
    }
    harm.sort_by(|a, b| a.1.total_cmp(&b.1));
    harm.truncate(ALL_PAIRS);
    let mut all = Vec::new();
    for (k, &(a, _)) in harm.iter().enumerate() {
        for first in from.near(bench.places, a, 1) {
            let moved = from.with(a, first);
            for &(b, _) in &harm[k + 1..] {
                let second = moved.near(bench.places, b, 1);
                all.extend(second.into_iter().map(|pick| moved.with(b, pick)));
            }
        }
    }
    all
}

/// Moves the values that stand in `places` to neighbouring candidates while that lessens the
/// error, one and two at a time: for values already chosen, to be judged together. `None` where
/// the circuit as it is has no answer; no swaps where nothing is better.
pub fn polish<J: Judge>(places: &[Place], stock: &Stock, judge: &J) -> Option<Swaps> {
    let bench = Bench::new(places, judge);
    let mut archive = Archive::default();
    let none = Choice::none(places);
    archive.measure(&bench, stock, [none.clone()]);
    archive.error(&none)?;
    let members: Vec<usize> = (0..places.len()).collect();
    let best = exchange(&bench, stock, &mut archive, none, &members);
    archive.swaps(places, &best)
}
