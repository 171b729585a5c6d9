//! What a search may choose from, place by place.

use super::search::Task;
use crate::topology::Rule;

/// The values of every place, and how many different ones a stage may have.
#[derive(Debug, Clone)]
pub(super) struct Scope<'a> {
    /// Values of each place, rising.
    lists: Vec<&'a [f64]>,
    /// Which places are free.
    free: Vec<bool>,
    /// Most different values in one stage, resistors and capacitors together.
    pub(super) distinct: usize,
    /// Combinations visited in one pass before it is broken off.
    pub(super) effort: u64,
}

impl<'a> Scope<'a> {
    /// Any value of the shelf in every place.
    pub(super) fn of(task: &Task<'a>) -> Self {
        let places = task.topology.places();
        Scope {
            lists: places.iter().map(|p| task.shelf.all(p.kind)).collect(),
            free: places
                .iter()
                .map(|p| p.rule.released(task.unequal) == Rule::Free)
                .collect(),
            distinct: usize::MAX,
            effort: u64::MAX,
        }
    }

    /// The same with another list, rising, for one place.
    pub(super) fn with(mut self, place: usize, list: &'a [f64]) -> Self {
        self.lists[place] = list;
        self
    }

    /// The same with so many different values at most.
    pub(super) fn with_distinct(mut self, distinct: usize) -> Self {
        self.distinct = distinct;
        self
    }

    /// The same, broken off after so many combinations visited in one pass.
    pub(super) fn with_effort(mut self, effort: u64) -> Self {
        self.effort = effort;
        self
    }

    /// The values of a place between two bounds, with a sliver for rounding.
    pub(super) fn between(&self, place: usize, low: f64, high: f64) -> &'a [f64] {
        super::shelf::between(self.lists[place], low, high)
    }

    /// How many combinations the lists allow.
    pub(super) fn combinations(&self) -> f64 {
        let free = self.lists.iter().zip(&self.free).filter(|(_, free)| **free);
        #[expect(clippy::cast_precision_loss, reason = "a count for people to read")]
        free.map(|(list, _)| list.len() as f64).product()
    }
}
