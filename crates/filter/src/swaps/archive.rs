//! Every choice that was measured, and the best for each price.

use super::bench::{Bench, Judge, Verdict, error};
use super::choice::Choice;
use super::{Place, Stock, Swaps};
use std::collections::HashMap;

/// Choices measured so far.
#[derive(Default)]
pub(super) struct Archive {
    verdicts: HashMap<Choice, Verdict>,
}

impl Archive {
    /// Measures those choices that are new and for which there are parts enough.
    pub(super) fn measure<J: Judge>(
        &mut self,
        bench: &Bench<'_, J>,
        stock: &Stock,
        choices: impl IntoIterator<Item = Choice>,
    ) {
        let mut fresh: Vec<Choice> = choices.into_iter().collect();
        fresh.sort_unstable();
        fresh.dedup();
        fresh.retain(|c| !self.verdicts.contains_key(c) && c.is_covered(bench.places, stock));
        let rows: Vec<Vec<f64>> = fresh.iter().map(|c| c.values(bench.places)).collect();
        self.verdicts
            .extend(fresh.into_iter().zip(bench.of_values(&rows)));
    }

    /// The error of a choice; none where it was not measured or has no answer.
    pub(super) fn error(&self, choice: &Choice) -> Option<f64> {
        let verdict = self.verdicts.get(choice)?.as_ref()?;
        Some(error(verdict))
    }

    /// The best choices of so many swaps, all of them among `group` and no two in the same places,
    /// best first, with their errors.
    pub(super) fn best(&self, count: usize, group: &[usize], most: usize) -> Vec<(f64, Choice)> {
        let fits = |choice: &&Choice| {
            let mut swapped = choice.swapped();
            choice.swapped().count() == count && swapped.all(|k| group.contains(&k))
        };
        let known = self.verdicts.keys().filter(fits);
        let mut all: Vec<(f64, &Choice)> = known
            .filter_map(|choice| Some((self.error(choice)?, choice)))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
        let mut best: Vec<(f64, Choice)> = Vec::new();
        for (error, choice) in all {
            if best.len() == most {
                break;
            }
            if !best
                .iter()
                .any(|(_, other)| other.swapped().eq(choice.swapped()))
            {
                best.push((error, choice.clone()));
            }
        }
        best
    }

    /// For each price the least error, as long as a higher price lessens it; cheapest first.
    pub(super) fn frontier(&self, places: &[Place]) -> Vec<Swaps> {
        let mut all: Vec<(f64, f64, &Choice)> = self
            .verdicts
            .iter()
            .filter_map(|(choice, verdict)| {
                let residuals = verdict.as_ref()?;
                Some((choice.price(places), error(residuals), choice))
            })
            .collect();
        // The choice itself last: the order of a hash map must not show.
        all.sort_by(|a, b| {
            let errors = a.1.total_cmp(&b.1);
            a.0.total_cmp(&b.0).then(errors).then(a.2.cmp(b.2))
        });
        let mut least = f64::INFINITY;
        all.retain(|(_, error, _)| {
            let better = *error < least;
            least = least.min(*error);
            better
        });
        all.into_iter()
            .map(|(price, error, choice)| self.told(places, choice, price, error))
            .collect()
    }

    /// A measured choice as swaps.
    pub(super) fn swaps(&self, places: &[Place], choice: &Choice) -> Option<Swaps> {
        let error = self.error(choice)?;
        Some(self.told(places, choice, choice.price(places), error))
    }

    fn told(&self, places: &[Place], choice: &Choice, price: f64, error: f64) -> Swaps {
        Swaps {
            swaps: choice.swaps(places),
            price,
            residuals: self.verdicts[choice].clone().unwrap_or_default(),
            error,
            proven: false,
        }
    }
}

impl Choice {
    /// What the changes cost together.
    pub(super) fn price(&self, places: &[Place]) -> f64 {
        self.swaps(places)
            .iter()
            .map(|s| places[s.place].price)
            .sum()
    }
}
