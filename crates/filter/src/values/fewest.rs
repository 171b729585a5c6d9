//! Fewest different values: what a stage costs that is made of few of them.
//!
//! A builder who needs three values buys three bags. [`fewest`] gives the frontier of one stage, number
//! of different values (resistors and capacitors counted together) against cost: the search of
//! [`super::search`] with one rule more, so every step is an optimum with proof.

use super::found::Found;
use super::scope::Scope;
use super::search::{Task, search_in};

/// The best stage of so many different values.
#[derive(Debug, Clone, PartialEq)]
pub struct Fewest {
    /// Different values, resistors and capacitors together.
    pub distinct: usize,
    /// The stage.
    pub found: Found,
}

/// Number of different values against cost, most values and least cost first. Ends where the shelf
/// allows nothing under the task's `most`; what costs no less than a stage of fewer values is left out.
#[must_use]
pub fn fewest(task: &Task<'_>) -> Vec<Fewest> {
    let mut frontier: Vec<Fewest> = Vec::new();
    let mut next = search_in(task, &Scope::of(task)).found;
    while let Some(found) = next {
        let distinct = different(task, &found.values);
        while frontier.last().is_some_and(|f| f.found.cost >= found.cost) {
            frontier.pop();
        }
        frontier.push(Fewest { distinct, found });
        let scope = Scope::of(task).with_distinct(distinct - 1);
        next = match distinct {
            0 | 1 => None,
            _ => search_in(task, &scope).found,
        };
    }
    frontier
}

/// How many different values the places of a stage have.
#[must_use]
pub fn different(task: &Task<'_>, values: &[f64]) -> usize {
    let places = task.topology.places();
    let alike = |j: usize, k: usize| {
        places[j].kind == places[k].kind && (values[j] / values[k] - 1.0).abs() < 1e-9
    };
    (0..values.len())
        .filter(|&k| (0..k).all(|j| !alike(j, k)))
        .count()
}
