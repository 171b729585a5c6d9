//! Which places to change and to which candidates, settled together.
//!
//! Where several places do the same, values free to vary need few of them, but values there are
//! may need more: one makes up for what another was rounded by. Here every place in turn either
//! stays as it is or goes to one of the candidates nearest to where the linear model wants it, the
//! rest following; for every count of changes the [`WIDE`] best beginnings are kept. What comes
//! out is then measured.

use super::choice::Choice;
use super::descend::Walk;
use super::model::Model;
use super::rounding::nearest;
use super::{Place, Stock};
use rayon::prelude::*;

const WIDE: usize = 16;

/// Some places settled: the choice, and the moves it means.
#[derive(Clone)]
struct Beginning {
    choice: Choice,
    count: usize,
    moves: Vec<(usize, f64)>,
    foretold: f64,
}

/// The most promising choices of up to `most` changes about a walk's end, any count; `model` is
/// over all places that may change.
pub(super) fn mixed(
    places: &[Place],
    stock: &Stock,
    walk: &Walk,
    model: &Model,
    most: usize,
) -> Vec<Choice> {
    let mut open: Vec<usize> = (0..model.members.len()).collect();
    let sway = |k: usize| model.error(&[(k, 0.05)]) + model.error(&[(k, -0.05)]);
    open.sort_by(|&a, &b| sway(b).total_cmp(&sway(a)));
    let mut beginnings = vec![Beginning {
        choice: Choice::none(places),
        count: 0,
        moves: Vec::new(),
        foretold: 0.0,
    }];
    for (settled, &k) in open.iter().enumerate() {
        let rest = &open[settled + 1..];
        let continued = beginnings
            .par_iter()
            .flat_map_iter(|b| settle(places, walk, model, b, k, rest));
        let mut next: Vec<Beginning> = continued.collect();
        next.retain(|b| b.count <= most && b.choice.is_covered(places, stock));
        next.sort_by(|a, b| a.foretold.total_cmp(&b.foretold));
        let mut kept = vec![0; most + 1];
        next.retain(|b| {
            kept[b.count] += 1;
            kept[b.count] <= WIDE
        });
        beginnings = next;
    }
    beginnings.into_iter().map(|b| b.choice).collect()
}

/// A beginning continued by one place: as it is, or on each of its nearest candidates.
fn settle(
    places: &[Place],
    walk: &Walk,
    model: &Model,
    beginning: &Beginning,
    k: usize,
    rest: &[usize],
) -> Vec<Beginning> {
    let number = model.members[k];
    let place = &places[number];
    let here = place.now * walk.shifts[number].exp();
    let mut open = vec![k];
    open.extend_from_slice(rest);
    let follow = model.best(&open, &beginning.moves, 1e-6);
    let wanted = follow.map_or(here, |moves| here * moves[0].clamp(-1.0, 1.0).exp());
    let continued = |pick: Option<usize>| {
        let value = pick.map_or(place.now, |c| place.candidates[c]);
        let mut moves = beginning.moves.clone();
        moves.push((k, (value / here).ln()));
        Beginning {
            choice: beginning.choice.with(number, pick),
            count: beginning.count + usize::from(pick.is_some()),
            foretold: model.least(rest, &moves),
            moves,
        }
    };
    nearest(place, wanted)
        .map(Some)
        .chain([None])
        .map(continued)
        .collect()
}
