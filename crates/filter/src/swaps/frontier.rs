//! For every price the best swaps.

use super::archive::Archive;
use super::bench::{Bench, Judge};
use super::choice::Choice;
use super::descend::Walk;
use super::exchange::exchange;
use super::exhaust::{self, FEW};
use super::mixed::mixed;
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
/// The same of each count where places and values were settled together, and how far behind fewer
/// changes they may be before the exchange.
const CARRIED: usize = 4;
const BEHIND: f64 = 2.5;
/// Choices of each count that one more place is added to.
const PARENTS: usize = 4;
/// Candidates on either side of a present value that are tried in one more place.
const NEAR: usize = 3;
/// Times the best choices of all counts are looked about again.
const AROUND: usize = 2;
/// One more place is worth having when it lessens the error by this share; so many that are not
/// worth it may follow each other before the search ends.
const WORTH: f64 = 0.95;
const PATIENCE: usize = 1;

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
        search.grow(&group);
        search.neighbours(&group);
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
        let largest = found.of_size.last().into_iter().flatten();
        let mut choices = Vec::new();
        for walk in largest.chain([&found.everything]) {
            choices.extend(self.mix(group, walk));
        }
        self.carry_by_count(choices);
    }

    /// Choices in any of the places of a group about a walk's end.
    fn mix(&self, group: &[usize], walk: &Walk) -> Vec<Choice> {
        let walk = self.among_all(group, walk);
        let about = About {
            members: group,
            ..walk.about()
        };
        let model = models(&self.bench, &[about]).pop();
        let most = self.effort.most;
        model.map_or_else(Vec::new, |model| {
            mixed(self.bench.places, self.stock, &walk, &model, most)
        })
    }

    /// Measures choices and exchanges, for every count from below, the values of the best
    /// that are not far behind fewer changes, until nobody asks for better.
    fn carry_by_count(&mut self, choices: Vec<Choice>) {
        self.archive
            .measure(&self.bench, self.stock, choices.iter().cloned());
        let mut least = f64::INFINITY;
        for count in 1..=self.effort.most {
            let of_count: Vec<Choice> = choices
                .iter()
                .filter(|c| c.swapped().count() == count)
                .filter(|c| self.archive.error(c).is_some_and(|e| e < BEHIND * least))
                .cloned()
                .collect();
            self.carry(of_count, CARRIED);
            let all: Vec<usize> = (0..self.bench.places.len()).collect();
            let best = self.archive.best(count, &all, 1);
            least = best.first().map_or(least, |best| best.0.min(least));
            if least < self.effort.enough {
                break;
            }
        }
    }

    /// A walk of a group among all places.
    fn among_all(&self, group: &[usize], walk: &Walk) -> Walk {
        let mut shifts = vec![0.0; self.bench.places.len()];
        for (&place, shift) in group.iter().zip(&walk.shifts) {
            shifts[place] = *shift;
        }
        let members = walk.members.iter().map(|&m| group[m]).collect();
        Walk::new(members, shifts, walk.residuals.clone())
    }

    /// Adds one place at a time to the best choices found: where values free to vary could do no
    /// better, another place still makes up for what the others were rounded by.
    fn grow(&mut self, group: &[usize]) {
        let mut idle = 0;
        let mut least = f64::INFINITY;
        for count in 1..self.effort.most.min(group.len()) {
            let best = self.archive.best(count, group, PARENTS);
            let Some(&(error, _)) = best.first() else {
                break;
            };
            for (_, choice) in best {
                self.enlarge(&choice, group);
            }
            let larger = self.archive.best(count + 1, group, 1);
            let larger = larger.first().map_or(f64::INFINITY, |best| best.0);
            idle = if larger > WORTH * least.min(error) {
                idle + 1
            } else {
                0
            };
            least = least.min(error).min(larger);
            if least < self.effort.enough || idle > PATIENCE {
                break;
            }
        }
    }

    /// Looks about the best choice of every count once more: with one of its places as it was, with
    /// another in its place, and with one place more, until that finds nothing better.
    fn neighbours(&mut self, group: &[usize]) {
        let most = self.effort.most.min(group.len());
        let mut seen: Vec<Option<Choice>> = vec![None; most + 1];
        for _ in 0..AROUND {
            let mut news = false;
            for count in (1..=most).chain((1..=most).rev()) {
                let best = self.archive.best(count, group, 1).pop();
                let Some((_, choice)) = best.filter(|b| seen[count].as_ref() != Some(&b.1)) else {
                    continue;
                };
                news = true;
                let without = choice
                    .swapped()
                    .map(|place| choice.with(place, None))
                    .collect();
                self.carry(without, EXCHANGED);
                if count < most {
                    self.enlarge(&choice, group);
                }
                seen[count] = Some(choice);
            }
            if !news {
                break;
            }
        }
    }

    /// Tries every further place of the group near its present value, each with one of those
    /// changed already moved by a candidate, and carries the best through.
    fn enlarge(&mut self, choice: &Choice, group: &[usize]) {
        let larger = self.one_more(choice, group);
        self.carry(larger, EXCHANGED);
    }

    fn one_more(&self, choice: &Choice, group: &[usize]) -> Vec<Choice> {
        let places = self.bench.places;
        let members: Vec<usize> = choice.swapped().collect();
        let mut larger = Vec::new();
        for &place in group.iter().filter(|p| !members.contains(p)) {
            for pick in choice.near(places, place, NEAR) {
                let one = choice.with(place, pick);
                for &member in &members {
                    let moved = one.near(places, member, 1).into_iter().flatten();
                    larger.extend(moved.map(|pick| one.with(member, Some(pick))));
                }
                larger.push(one);
            }
        }
        larger
    }

    /// Measures choices and exchanges the values of the `most` best.
    fn carry(&mut self, choices: Vec<Choice>, most: usize) {
        let (bench, stock) = (&self.bench, self.stock);
        self.archive.measure(bench, stock, choices.iter().cloned());
        let mut ranked: Vec<(f64, Choice)> = choices
            .into_iter()
            .filter_map(|c| Some((self.archive.error(&c)?, c)))
            .collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, choice) in ranked.into_iter().take(most) {
            let members: Vec<usize> = choice.swapped().collect();
            exchange(bench, stock, &mut self.archive, choice, &members);
        }
    }

    /// Puts values there are in place of free ones; the walk counts the places of its group.
    fn settle(&mut self, group: &[usize], walk: &Walk) {
        let walk = self.among_all(group, walk);
        let about: [About<'_>; 1] = [walk.about()];
        let Some(model) = models(&self.bench, &about).pop() else {
            return;
        };
        let choices = rounded(&self.bench, self.stock, &walk, &model);
        self.carry(choices, EXCHANGED);
    }
}
