//! Several stages that take their parts from one drawer.
//!
//! Each stage by itself has a proven best choice, given what the drawer may lend it. Where those
//! choices together want no more pieces than there are, they are the best for all: no stage can
//! do better. Where a value is wanted more often than it is there, every way out has some stage
//! take fewer of it; so each such stage in turn is lent one fewer, chooses again, and the sets of
//! choices are taken up in the order of their summed costs. The first without a conflict costs
//! no more than any other: branch and bound with the stage search as bound.
//!
//! After [`EFFORT`] stage searches the stages choose one after the other instead, the costliest
//! first, from what is left; that is then not proven to be the best.

use super::chain::RealisedStage;
use crate::topology::PlaceKind;
use crate::values::Shelf;
use std::rc::Rc;

/// Stage searches before the proof is given up.
const EFFORT: usize = 160;

/// Choices for all stages.
pub(super) struct Shares {
    /// The stages.
    pub(super) stages: Vec<RealisedStage>,
    /// Whether no other choice costs less in sum.
    pub(super) proven: bool,
}

/// A set of choices that may want more than there is.
#[derive(Clone)]
struct Wish {
    stages: Vec<Rc<RealisedStage>>,
    /// What each stage may take at most: kind, value, pieces.
    lent: Vec<Vec<(PlaceKind, f64, usize)>>,
}

impl Wish {
    fn cost(&self) -> f64 {
        self.stages.iter().map(|s| s.found.cost).sum()
    }

    /// How many pieces of a value that stage takes from the drawer.
    fn taken(&self, stage: usize, shelf: &Shelf, (kind, value): (PlaceKind, f64)) -> usize {
        let wanted = parts(&self.stages[stage])
            .filter(|&(k, v)| k == kind && same(v, value))
            .count();
        let lent = self.lent[stage].iter();
        let lent = lent.filter(|(k, v, _)| *k == kind && same(*v, value));
        let most = lent.map(|&(_, _, most)| most).min();
        wanted.min(most.unwrap_or_else(|| shelf.left(kind, value)))
    }

    /// A value that is wanted more often than it is there.
    fn conflict(&self, shelf: &Shelf) -> Option<(PlaceKind, f64)> {
        let wanted = self.stages.iter().flat_map(|stage| parts(stage));
        wanted.into_iter().find(|&(kind, value)| {
            let each = (0..self.stages.len()).map(|s| self.taken(s, shelf, (kind, value)));
            each.sum::<usize>() > shelf.left(kind, value)
        })
    }

    /// What that stage may choose from.
    fn shelf(&self, stage: usize, shelf: &Shelf) -> Shelf {
        let lent = self.lent[stage].iter();
        lent.fold(shelf.clone(), |shelf, &(kind, value, most)| {
            shelf.with_at_most(kind, value, most)
        })
    }
}

/// Kind and value of every part of a stage.
pub(super) fn parts(stage: &RealisedStage) -> impl Iterator<Item = (PlaceKind, f64)> + '_ {
    let places = stage.topology.places().iter();
    places
        .zip(&stage.found.values)
        .map(|(place, &v)| (place.kind, v))
}

fn same(a: f64, b: f64) -> bool {
    crate::values::alike(a, b)
}

/// The best choices for `count` stages from one shelf; `choose` finds a stage's best from a shelf.
///
/// # Errors
/// Why a stage cannot be made, even with the shelf to itself, or with what the others leave it.
pub(super) fn share<E>(
    shelf: &Shelf,
    count: usize,
    choose: impl Fn(usize, &Shelf) -> Result<RealisedStage, E>,
) -> Result<Shares, E> {
    let alone = |stage| choose(stage, shelf).map(Rc::new);
    let stages: Vec<Rc<RealisedStage>> = (0..count).map(alone).collect::<Result<_, E>>()?;
    let lent = vec![Vec::new(); count];
    let mut open = vec![Wish { stages, lent }];
    let mut effort = 0;
    while let Some(wish) = cheapest(&mut open) {
        let Some((kind, value)) = wish.conflict(shelf) else {
            let stages = wish.stages.iter().map(|s| (**s).clone()).collect();
            return Ok(Shares {
                stages,
                proven: true,
            });
        };
        if effort >= EFFORT {
            break;
        }
        for stage in 0..count {
            let taken = wish.taken(stage, shelf, (kind, value));
            if taken == 0 {
                continue;
            }
            let mut next = wish.clone();
            next.lent[stage].push((kind, value, taken - 1));
            effort += 1;
            if let Ok(chosen) = choose(stage, &next.shelf(stage, shelf)) {
                next.stages[stage] = Rc::new(chosen);
                open.push(next);
            }
        }
    }
    one_after_the_other(shelf, count, choose)
}

fn cheapest(open: &mut Vec<Wish>) -> Option<Wish> {
    let costs = open.iter().enumerate().map(|(k, wish)| (k, wish.cost()));
    let (best, _) = costs.min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(open.swap_remove(best))
}

/// Each stage from what those before it leave, the costliest first.
fn one_after_the_other<E>(
    shelf: &Shelf,
    count: usize,
    choose: impl Fn(usize, &Shelf) -> Result<RealisedStage, E>,
) -> Result<Shares, E> {
    let alone = |stage| choose(stage, shelf).map(|s| (stage, s.found.cost));
    let mut order: Vec<(usize, f64)> = (0..count).map(alone).collect::<Result<_, E>>()?;
    order.sort_by(|(_, a), (_, b)| b.total_cmp(a));
    let mut left = shelf.clone();
    let mut chosen: Vec<(usize, RealisedStage)> = Vec::new();
    for (stage, _) in order {
        let made = choose(stage, &left)?;
        left = without(left, &made);
        chosen.push((stage, made));
    }
    chosen.sort_by_key(|(stage, _)| *stage);
    Ok(Shares {
        stages: chosen.into_iter().map(|(_, made)| made).collect(),
        proven: false,
    })
}

/// A shelf without the pieces that a stage takes.
pub(super) fn without(shelf: Shelf, stage: &RealisedStage) -> Shelf {
    parts(stage).fold(shelf, |shelf, (kind, value)| shelf.without(kind, [value]))
}
