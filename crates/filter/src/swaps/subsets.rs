//! Which sets of places can do most, with values free to vary.
//!
//! From nothing upwards a place is added to the best sets found, from everything downwards one is
//! taken away, and in the best of each size one is put in place of another. The linear model
//! about a set's own least error sorts the thousands of neighbours; the few that it likes best
//! are followed down on the circuit itself. A set is never judged by the model alone.

use super::bench::{Bench, Judge};
use super::descend::{Walk, descend};
use super::model::{About, Model, models};
use std::collections::BTreeSet;

/// Sets of a size that are followed down, and that are kept.
const FOLLOWED: usize = 10;
const KEPT: usize = 4;
/// Rounds of putting one place for another.
const ROUNDS: usize = 2;

/// A neighbour of a set: its members, and what the model foretells.
struct Neighbour {
    parent: usize,
    members: Vec<usize>,
    foretold: f64,
}

/// Sets by size.
pub(super) struct Subsets {
    /// The best sets of `k` places stand at `k`, best first.
    pub(super) of_size: Vec<Vec<Walk>>,
    /// All places together.
    pub(super) everything: Walk,
}

/// Looks for the best sets of up to `most` places, until a set's error is below `enough`, or as
/// low as that of all places together.
pub(super) fn subsets<J: Judge>(
    bench: &Bench<'_, J>,
    start: &Walk,
    most: usize,
    enough: f64,
) -> Subsets {
    let count = bench.places.len();
    let everything = Walk::new(
        (0..count).collect(),
        start.shifts.clone(),
        start.residuals.clone(),
    );
    let everything = descend(bench, vec![everything]).remove(0);
    let mut found = Subsets {
        of_size: vec![Vec::new(); count + 1],
        everything: everything.clone(),
    };
    found.of_size[0] = vec![start.clone()];
    found.of_size[count] = vec![everything];
    let floor = found.least(count);
    for size in (1..count).rev() {
        let neighbours = found.smaller(bench, size);
        found.follow(bench, size + 1, size, neighbours);
    }
    for size in 1..=most.min(count) {
        let neighbours = found.larger(bench, size);
        found.follow(bench, size - 1, size, neighbours);
        for _ in 0..ROUNDS {
            let before = found.least(size);
            let neighbours = found.exchanged(bench, size);
            found.follow(bench, size, size, neighbours);
            if found.least(size) > 0.999 * before {
                break;
            }
        }
        let (here, before) = (found.least(size), found.least(size - 1));
        // All places together may have ended in a hollow that a smaller set found out of.
        if here < enough || (here < 1.05 * floor && here > 0.98 * before) {
            found.of_size.truncate(size + 1);
            break;
        }
    }
    found.of_size.truncate(most + 1);
    found
}

impl Subsets {
    /// The least error of a size.
    pub(super) fn least(&self, size: usize) -> f64 {
        self.of_size[size]
            .first()
            .map_or(f64::INFINITY, |w| w.error)
    }

    /// Follows the most promising neighbours (children of `parents`) down and keeps the best.
    fn follow<J: Judge>(
        &mut self,
        bench: &Bench<'_, J>,
        parents: usize,
        size: usize,
        mut neighbours: Vec<Neighbour>,
    ) {
        neighbours.sort_by(|a, b| a.foretold.total_cmp(&b.foretold));
        let known = self.of_size[size].iter().map(|w| w.members.clone());
        let mut seen: BTreeSet<Vec<usize>> = known.collect();
        neighbours.retain(|n| seen.insert(n.members.clone()));
        neighbours.truncate(FOLLOWED);
        let walks: Vec<Walk> = neighbours
            .into_iter()
            .filter_map(|n| self.begin(bench, parents, n))
            .collect();
        self.of_size[size].extend(descend(bench, walks));
        self.of_size[size].sort_by(|a, b| a.error.total_cmp(&b.error));
        self.of_size[size].truncate(KEPT);
    }

    /// A neighbour at its parent's values, where those it lacks are as they were.
    fn begin<J: Judge>(&self, bench: &Bench<'_, J>, parents: usize, n: Neighbour) -> Option<Walk> {
        let parent = &self.of_size[parents][n.parent];
        let mut shifts = parent.shifts.clone();
        let mut moved = false;
        for (place, shift) in shifts.iter_mut().enumerate() {
            if !n.members.contains(&place) && *shift != 0.0 {
                *shift = 0.0;
                moved = true;
            }
        }
        let residuals = if moved {
            bench.of_shifts(std::slice::from_ref(&shifts)).pop()??
        } else {
            parent.residuals.clone()
        };
        Some(Walk::new(n.members, shifts, residuals))
    }

    /// Models about the sets of a size, over these members.
    fn lines<J: Judge>(
        &self,
        bench: &Bench<'_, J>,
        size: usize,
        members: impl Fn(&Walk) -> Vec<usize>,
    ) -> Vec<Model> {
        let members: Vec<Vec<usize>> = self.of_size[size].iter().map(members).collect();
        let points: Vec<About<'_>> = self.of_size[size]
            .iter()
            .zip(&members)
            .map(|(walk, members)| About {
                members,
                shifts: &walk.shifts,
                residuals: &walk.residuals,
            })
            .collect();
        models(bench, &points)
    }

    fn smaller<J: Judge>(&self, bench: &Bench<'_, J>, size: usize) -> Vec<Neighbour> {
        let lines = self.lines(bench, size + 1, |w| w.members.clone());
        let mut all = Vec::new();
        for (parent, (walk, model)) in self.of_size[size + 1].iter().zip(&lines).enumerate() {
            for (out, &place) in walk.members.iter().enumerate() {
                let free: Vec<usize> = (0..walk.members.len()).filter(|&k| k != out).collect();
                all.push(Neighbour {
                    parent,
                    members: free.iter().map(|&k| walk.members[k]).collect(),
                    foretold: model.least(&free, &[(out, -walk.shifts[place])]),
                });
            }
        }
        all
    }

    fn larger<J: Judge>(&self, bench: &Bench<'_, J>, size: usize) -> Vec<Neighbour> {
        let count = bench.places.len();
        let lines = self.lines(bench, size - 1, |_| (0..count).collect());
        let mut all = Vec::new();
        for (parent, (walk, model)) in self.of_size[size - 1].iter().zip(&lines).enumerate() {
            for place in (0..count).filter(|p| !walk.members.contains(p)) {
                let mut members = walk.members.clone();
                members.push(place);
                members.sort_unstable();
                let foretold = model.least(&members, &[]);
                all.push(Neighbour {
                    parent,
                    members,
                    foretold,
                });
            }
        }
        all
    }

    fn exchanged<J: Judge>(&self, bench: &Bench<'_, J>, size: usize) -> Vec<Neighbour> {
        let count = bench.places.len();
        let lines = self.lines(bench, size, |_| (0..count).collect());
        let mut all = Vec::new();
        for (parent, (walk, model)) in self.of_size[size].iter().zip(&lines).enumerate() {
            for &out in &walk.members {
                for place in (0..count).filter(|p| !walk.members.contains(p)) {
                    let stays = walk.members.iter().copied().filter(|&m| m != out);
                    let mut members: Vec<usize> = stays.chain([place]).collect();
                    members.sort_unstable();
                    let foretold = model.least(&members, &[(out, -walk.shifts[out])]);
                    all.push(Neighbour {
                        parent,
                        members,
                        foretold,
                    });
                }
            }
        }
        all
    }
}
