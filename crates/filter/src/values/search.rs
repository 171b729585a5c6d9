//! Exact search for the best values of a stage on a shelf: branch and bound.
//!
//! Combinations are those of the shelf that obey the topology's own rules of design
//! ([`crate::topology::Rule`], [`crate::topology::Design`]). Passes with a rising first bound (×2)
//! find good combinations soon; a pass that finds something has looked at everything under its
//! bound, so its best is the optimum.
//!
//! The real op-amp is allowed for by aiming off: once the capacitors are chosen, f0 and Q
//! of the aim are divided by what the amplifier's drift will multiply them with. The drift
//! itself costs, because another sample has another.
//! Ties go to the combination met first; the order is fixed, so is the answer.

use super::aim::Aim;
use super::descent::{Catch, Chosen, Descent};
use super::found::{Found, Proof};
use super::scope::Scope;
use super::shelf::Shelf;
use super::taste::Taste;
use crate::topology::Topology;
use parts::OpampModel;

/// First bound of the first pass.
const FIRST_BOUND: f64 = 2e-3;

/// Each pass looks this many times further than the one before.
const FURTHER: f64 = 2.0;

/// What is to be searched.
#[derive(Debug, Clone, Copy)]
pub struct Task<'a> {
    /// How the stage is made.
    pub topology: Topology,
    /// What it is to do.
    pub aim: Aim,
    /// The values that may be used.
    pub shelf: &'a Shelf,
    /// What makes values awkward.
    pub taste: Taste,
    /// The op-amp whose drift is allowed for.
    pub amplifier: &'a OpampModel,
    /// Resistance of what drives the stage, ohm: it acts in series with the stage's input
    /// resistor, and counts as part of it. Without such a resistor it must be 0.
    pub series: f64,
    /// Cost above which no design is wanted: the search gives up there.
    pub most: f64,
    /// Whether capacitors that the topology ties for the builder's ease may differ.
    pub unequal: bool,
}

/// The best values for the task; `None` where the shelf allows none under its `most`.
#[must_use]
pub fn search(task: &Task<'_>) -> Option<Found> {
    search_in(task, &Scope::of(task)).found
}

/// As [`search`], with each pass broken off after so many combinations visited; and whether nothing
/// was missed by that.
#[must_use]
pub fn search_within(task: &Task<'_>, effort: u64) -> (Option<Found>, bool) {
    let search = search_in(task, &Scope::of(task).with_effort(effort));
    (search.found, search.complete)
}

/// What a search in a scope came to.
pub(super) struct Search {
    /// The best.
    pub(super) found: Option<Found>,
    /// Whether everything was looked at that could be better.
    pub(super) complete: bool,
    /// Partial and complete combinations visited.
    pub(super) visited: u64,
}

/// The best values for the task among those of a scope.
pub(super) fn search_in(task: &Task<'_>, scope: &Scope<'_>) -> Search {
    let mut bound = task.taste.indifference + FIRST_BOUND;
    let (mut visited, mut evaluated) = (0, 0);
    loop {
        let last = bound >= task.most;
        let mut pass = Descent::new(task, scope, bound.min(task.most), Catch::Best(None));
        pass.run();
        visited += pass.visited;
        evaluated += pass.evaluated;
        let complete = !pass.broken_off;
        if let Catch::Best(Some(best)) = pass.catch {
            let proof = Proof {
                combinations: scope.combinations(),
                evaluated,
                visited,
                bound: bound.min(task.most),
            };
            let found = Some(found(task, best, proof));
            return Search {
                found,
                complete,
                visited,
            };
        }
        if last || !complete {
            return Search {
                found: None,
                complete,
                visited,
            };
        }
        bound *= FURTHER;
    }
}

/// What was chosen, without the driving resistance in the input place.
pub(super) fn found(task: &Task<'_>, mut chosen: Chosen, proof: Proof) -> Found {
    let reached = task.topology.reached(&chosen.values);
    if let Some(input) = task.topology.input_place() {
        chosen.values[input] -= task.series;
    }
    Found {
        reached,
        values: chosen.values,
        error: chosen.error,
        cost: chosen.cost,
        proof,
    }
}
