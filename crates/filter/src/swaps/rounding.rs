//! From values free to vary to values there are.
//!
//! The places of a set are settled one after the other, the one that sways the error most
//! first, each on one of the nearest candidates on either side, the rest following by the linear
//! model; the [`WIDE`] best beginnings are kept at every step. What comes out is then measured.

use super::bench::{Bench, Judge};
use super::choice::{Choice, SAME};
use super::descend::Walk;
use super::model::Model;
use super::{Place, Stock};

const WIDE: usize = 24;

/// Some places settled: the choice, and the moves it means.
#[derive(Clone)]
struct Beginning {
    choice: Choice,
    moves: Vec<(usize, f64)>,
    foretold: f64,
}

/// The most promising choices about a walk's end; `model` is over its members.
pub(super) fn rounded<J: Judge>(
    bench: &Bench<'_, J>,
    stock: &Stock,
    walk: &Walk,
    model: &Model,
) -> Vec<Choice> {
    let mut open: Vec<usize> = (0..walk.members.len()).collect();
    let sway = |k: usize| model.error(&[(k, 0.05)]) + model.error(&[(k, -0.05)]);
    open.sort_by(|&a, &b| sway(b).total_cmp(&sway(a)));
    let mut beginnings = vec![Beginning {
        choice: Choice::none(bench.places),
        moves: Vec::new(),
        foretold: 0.0,
    }];
    for (settled, &k) in open.iter().enumerate() {
        let rest = &open[settled + 1..];
        let mut next: Vec<Beginning> = Vec::new();
        for beginning in &beginnings {
            next.extend(settle(bench, walk, model, beginning, k, rest));
        }
        next.retain(|b| b.choice.is_covered(bench.places, stock));
        next.sort_by(|a, b| a.foretold.total_cmp(&b.foretold));
        next.truncate(WIDE);
        beginnings = next;
    }
    beginnings.into_iter().map(|b| b.choice).collect()
}

/// A beginning continued by one place on each of its nearest candidates.
fn settle<J: Judge>(
    bench: &Bench<'_, J>,
    walk: &Walk,
    model: &Model,
    beginning: &Beginning,
    k: usize,
    rest: &[usize],
) -> Vec<Beginning> {
    let place = walk.members[k];
    let here = bench.places[place].now * walk.shifts[place].exp();
    let mut open = vec![k];
    open.extend_from_slice(rest);
    let follow = model.best(&open, &beginning.moves, 1e-6);
    let wanted = follow.map_or(here, |moves| here * moves[0].clamp(-1.0, 1.0).exp());
    nearest(&bench.places[place], wanted)
        .map(|c| {
            let mut moves = beginning.moves.clone();
            moves.push((k, (bench.places[place].candidates[c] / here).ln()));
            Beginning {
                choice: beginning.choice.with(place, Some(c)),
                foretold: model.least(rest, &moves),
                moves,
            }
        })
        .collect()
}

/// Up to two candidates on either side of a value, the one that is there left out.
pub(super) fn nearest(place: &Place, wanted: f64) -> impl Iterator<Item = usize> {
    let above = place.candidates.partition_point(|&v| v < wanted);
    let near = above.saturating_sub(2)..(above + 2).min(place.candidates.len());
    near.filter(|&c| (place.candidates[c] / place.now - 1.0).abs() > SAME)
}
