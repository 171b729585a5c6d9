//! For every price the best swaps.

use super::archive::Archive;
use super::bench::{Bench, Judge};
use super::choice::Choice;
use super::descend::Walk;
use super::exchange::exchange;
use super::exhaust::{self, FEW};
use super::model::{About, models};
use super::rounding::rounded;
use super::subsets::subsets;
use super::{Place, Stock, Swaps};

/// How far to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Most parts that are changed at once.
    pub most: usize,
    /// An error below which nobody asks for better: larger sets are not looked for once the
    /// values free to vary of a smaller one come below it.
    pub enough: f64,
}

/// Choices of each set whose exchange is carried through.
const EXCHANGED: usize = 3;

/// For every price from nothing up the least error found, as long as a higher price lessens it;
/// the first entry is the circuit as it is. Empty where that has no answer.
pub fn frontier<J: Judge>(
    places: &[Place],
    stock: &Stock,
    judge: &J,
    effort: Effort,
) -> Vec<Swaps> {
    let bench = Bench::new(places, judge);
    let none = Choice::none(places);
    let start = vec![0.0; places.len()];
    let Some(residuals) = bench.of_values(&[none.values(places)]).pop().flatten() else {
        return Vec::new();
    };
    let mut search = Search {
        stock,
        bench,
        archive: Archive::default(),
        effort,
    };
    search.archive.measure(&search.bench, stock, [none]);
    let proven = search.exhaust();
    let start = Walk::new(Vec::new(), start, residuals);
    for group in groups(places) {
        search.sets(&start, &group);
    }
    let mut found = search.archive.frontier(places);
    // Every choice of up to `proven` swaps was measured; a price below that of any larger choice
    // is therefore proven.
    let cheapest = cheapest(places, proven + 1);
    for swaps in &mut found {
        swaps.proven = swaps.price < cheapest;
    }
    found
}

/// What so many swaps cost at least; infinite where there are not so many places.
fn cheapest(places: &[Place], count: usize) -> f64 {
    let mut prices: Vec<f64> = places.iter().map(|p| p.price).collect();
    prices.sort_by(f64::total_cmp);
    prices
        .get(..count)
        .map_or(f64::INFINITY, |p| p.iter().sum())
}

/// The places to search among: all, and for every price only those that cost less, since a set
/// that does a little worse may cost a lot less.
fn groups(places: &[Place]) -> Vec<Vec<usize>> {
    let mut prices: Vec<f64> = places.iter().map(|p| p.price).collect();
    prices.sort_by(f64::total_cmp);
    prices.dedup();
    let group = |most: f64| {
        (0..places.len())
            .filter(|&k| places[k].price <= most)
            .collect()
    };
    prices.into_iter().rev().take(4).map(group).collect()
}

struct Search<'a, J> {
    stock: &'a Stock,
    bench: Bench<'a, J>,
    archive: Archive,
    effort: Effort,
}

impl<J: Judge> Search<'_, J> {
    /// Measures everything of as many swaps as there are few of; returns how many those are.
    fn exhaust(&mut self) -> usize {
        let places = self.bench.places;
        for count in 1..=self.effort.most.min(places.len()) {
            // One swap is linear in the candidates, and what is asked for most.
            let most = if count == 1 { 10 * FEW } else { FEW };
            let Some(all) = exhaust::all(places, count, most) else {
                return count - 1;
            };
            self.archive.measure(&self.bench, self.stock, all);
        }
        self.effort.most.min(places.len())
    }

    /// Searches among some of the places.
    fn sets(&mut self, start: &Walk, group: &[usize]) {
        let places: Vec<Place> = group
            .iter()
            .map(|&k| self.bench.places[k].clone())
            .collect();
        let judge = self.bench.judge();
        let bench = Bench::new(&places, judge);
        let start = Walk::new(Vec::new(), vec![0.0; group.len()], start.residuals.clone());
        let found = subsets(&bench, &start, self.effort.most, self.effort.enough);
        for walks in found.of_size.iter().skip(1) {
            for walk in walks {
                self.settle(group, walk);
            }
        }
    }

    /// Puts values there are in place of free ones; the walk counts the places of its group.
    fn settle(&mut self, group: &[usize], walk: &Walk) {
        let mut shifts = vec![0.0; self.bench.places.len()];
        for (&place, shift) in group.iter().zip(&walk.shifts) {
            shifts[place] = *shift;
        }
        let members = walk.members.iter().map(|&m| group[m]).collect();
        let walk = Walk::new(members, shifts, walk.residuals.clone());
        let about: [About<'_>; 1] = [walk.about()];
        let Some(model) = models(&self.bench, &about).pop() else {
            return;
        };
        let choices = rounded(&self.bench, self.stock, &walk, &model);
        self.archive
            .measure(&self.bench, self.stock, choices.iter().cloned());
        let mut ranked: Vec<(f64, Choice)> = choices
            .into_iter()
            .filter_map(|c| Some((self.archive.error(&c)?, c)))
            .collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, choice) in ranked.into_iter().take(EXCHANGED) {
            let (bench, stock) = (&self.bench, self.stock);
            exchange(bench, stock, &mut self.archive, choice, &walk.members);
        }
    }
}
