//! The worst case of every figure.
//!
//! Every part stands at an end of its tolerance or in its middle, and the box is as cold or as warm as
//! its room gets, or anything between in steps of 5 K. One search starts where the
//! slopes point, another in the middle, both at 25 °C. Every part is tried in its other places;
//! what does worse is done, all of it or as many of the most telling changes as together do worst,
//! until no part alone makes it worse (coordinate ascent with a line search over the sorted
//! changes; common practice). From the worse of both the search goes on, 5 K at a time, to the
//! coldest and to the warmest of the room, each time from where it was. Every step is an evaluation of
//! the figure itself, so slopes that are small or of the wrong sign cost time and nothing else.
//!
//! The way there does not depend on how far it goes: the worst of a wider room is exactly no milder
//! than that of a narrower one whose ends are 25 °C and whole steps from it. Range: the worst of the
//! places above; a figure that turns between them (a peak that comes to lie on the pitch exactly)
//! can do a little worse there, and is then held against the worst trial
//! ([`Corner::is_exceeded_by`]). A figure with several worst cases may be caught in a lesser one.

use crate::{FigureSpread, Lot, Slopes};
use rayon::prelude::*;

/// Where a part is tried, in tolerances from what is printed.
const PLACES: [f64; 3] = [-1.0, 0.0, 1.0];
/// Share of a figure that counts as a change; less is rounding.
const CHANGE: f64 = 1e-7;
/// Step of temperature, K.
const STEP_K: f64 = 5.0;
/// Steps to either side at most; they are longer in a room beyond anything one would work in.
const STEPS: f64 = 32.0;
/// Rounds at most; three are common.
const ROUNDS: usize = 32;
/// Builds that are evaluated at once.
const BLOCK: usize = 256;

/// One worst case.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// The figure there; NaN where no box has it.
    pub value: f64,
    /// Where every part stands, in tolerances from what is printed: −1, 0 or 1.
    pub deviations: Vec<f64>,
    /// Temperature, kelvin from 25 °C.
    pub kelvin: f64,
}

/// Both worst cases of one figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// The least.
    pub least: Extreme,
    /// The greatest.
    pub greatest: Extreme,
}

impl Corner {
    /// Whether a trial went further than the corner by more than a share of its width.
    #[must_use]
    pub fn is_exceeded_by(&self, spread: &FigureSpread) -> bool {
        const ROUNDING: f64 = 1e-3;
        let (least, greatest) = (self.least.value, self.greatest.value);
        let slack = ROUNDING * (greatest - least).abs();
        let beyond = |(low, high)| low < least - slack || high > greatest + slack;
        spread.range().is_some_and(beyond)
    }
}

/// The worst cases of all figures; `evaluate` as in [`crate::Judge`].
#[must_use]
pub fn corners(
    lot: &Lot,
    slopes: &Slopes,
    evaluate: &(dyn Fn(&[f64]) -> Vec<f64> + Sync),
) -> Vec<Corner> {
    let bench = Bench {
        lot,
        figures: slopes.nominal().len(),
        evaluate,
    };
    let mut at_25 = Vec::new();
    for figure in 0..bench.figures {
        for way in [-1.0, 1.0] {
            let sloped = Search::new(lot, slopes, (figure, way));
            let middle = vec![0.0; lot.places.len()];
            at_25.extend([sloped.again(&middle, 0.0), sloped]);
        }
    }
    bench.settle(&mut at_25);
    let at_25: Vec<Search> = at_25.chunks_exact(2).map(|s| worst_of(s).clone()).collect();
    let (cold, warm) = room(lot);
    let mut found: Vec<Vec<Search>> = vec![Vec::new(); at_25.len()];
    let mut keep = |kelvin: f64, here: &[Search]| {
        if (cold..=warm).contains(&kelvin) {
            let places = found.iter_mut().zip(here);
            places.for_each(|(all, one)| all.push(one.clone()));
        }
    };
    keep(0.0, &at_25);
    for end in [cold.min(0.0), warm.max(0.0)] {
        let mut here = at_25.clone();
        for kelvin in steps_to(end) {
            here = here
                .iter()
                .map(|s| s.again(&s.deviations, kelvin))
                .collect();
            bench.settle(&mut here);
            keep(kelvin, &here);
        }
    }
    let extreme = |k: usize| worst_of(&found[k]).found();
    let corner = |figure: usize| Corner {
        least: extreme(2 * figure),
        greatest: extreme(2 * figure + 1),
    };
    (0..bench.figures).map(corner).collect()
}

/// Coldest and warmest, kelvin from 25 °C; 25 °C where nothing goes with temperature.
fn room(lot: &Lot) -> (f64, f64) {
    if lot.places.iter().any(|p| p.slope_per_kelvin != 0.0) {
        lot.warmth_k
    } else {
        (0.0, 0.0)
    }
}

/// From 25 °C to a temperature, whole steps and then that itself.
fn steps_to(end: f64) -> Vec<f64> {
    let step = STEP_K.max(end.abs() / STEPS);
    let whole = (1..)
        .map(|n| step * f64::from(n))
        .take_while(|k| *k < end.abs());
    let mut all: Vec<f64> = whole.map(|k| k.copysign(end)).collect();
    if end != 0.0 {
        all.push(end);
    }
    all
}

/// The search that came furthest.
fn worst_of(searches: &[Search]) -> &Search {
    let mut worst = &searches[0];
    for search in searches {
        if search.is_worse(search.value, worst.value) {
            worst = search;
        }
    }
    worst
}

/// One worst case at one temperature, on its way.
#[derive(Debug, Clone)]
struct Search {
    figure: usize,
    /// 1 to raise the figure, −1 to lower it.
    way: f64,
    kelvin: f64,
    deviations: Vec<f64>,
    value: f64,
    settled: bool,
}

impl Search {
    /// From where the slopes point, at 25 °C.
    fn new(lot: &Lot, slopes: &Slopes, (figure, way): (usize, f64)) -> Self {
        let towards = |k: usize| {
            let slope = way * slopes.of(k, figure);
            if slope == 0.0 || slope.is_nan() {
                0.0
            } else {
                slope.signum()
            }
        };
        Search {
            figure,
            way,
            kelvin: 0.0,
            deviations: (0..lot.places.len()).map(towards).collect(),
            value: f64::NAN,
            settled: false,
        }
    }

    /// The same worst case from another start.
    fn again(&self, deviations: &[f64], kelvin: f64) -> Self {
        Search {
            kelvin,
            deviations: deviations.to_vec(),
            value: f64::NAN,
            settled: false,
            ..*self
        }
    }

    fn found(&self) -> Extreme {
        Extreme {
            value: self.value,
            deviations: self.deviations.clone(),
            kelvin: self.kelvin,
        }
    }

    /// Whether `found` is further this search's way than `before`, by more than rounding.
    fn is_worse(&self, found: f64, before: f64) -> bool {
        !found.is_nan() && (before.is_nan() || self.way * (found - before) > CHANGE * before.abs())
    }

    /// Every change of one part: which part, and to where.
    fn changes(&self, lot: &Lot) -> Vec<(usize, f64)> {
        let mut all = Vec::new();
        for (k, place) in lot.places.iter().enumerate() {
            let others = PLACES
                .iter()
                .filter(|p| (**p - self.deviations[k]).abs() > 0.5);
            if place.tolerance > 0.0 {
                all.extend(others.map(|&p| (k, p)));
            }
        }
        all
    }

    /// The deviations with these changes made.
    fn with(&self, changes: &[(usize, f64)]) -> Vec<f64> {
        let mut deviations = self.deviations.clone();
        changes.iter().for_each(|&(k, p)| deviations[k] = p);
        deviations
    }

    /// Of changes and what they bring, those that make it worse: one for each part, the most
    /// telling first.
    fn worth_making(&self, tried: &[((usize, f64), f64)]) -> Vec<(usize, f64)> {
        let worse = tried.iter().filter(|(_, x)| self.is_worse(*x, self.value));
        let mut worse: Vec<_> = worse.collect();
        worse.sort_by(|a, b| (self.way * b.1).total_cmp(&(self.way * a.1)));
        let mut made: Vec<(usize, f64)> = Vec::new();
        for (change, _) in worse {
            if made.iter().all(|(k, _)| *k != change.0) {
                made.push(*change);
            }
        }
        made
    }
}

/// What searches are evaluated with.
struct Bench<'a> {
    lot: &'a Lot,
    figures: usize,
    evaluate: &'a (dyn Fn(&[f64]) -> Vec<f64> + Sync),
}

impl Bench<'_> {
    /// Goes on with every search until no part alone makes it worse.
    fn settle(&self, searches: &mut [Search]) {
        let starts = |s: &Search| vec![s.deviations.clone()];
        let tried: Vec<Vec<Vec<f64>>> = searches.iter().map(starts).collect();
        self.take_worst(searches, &tried);
        for _ in 0..ROUNDS {
            if searches.iter().all(|s| s.settled) {
                break;
            }
            self.round(searches);
        }
    }

    /// Tries every change of every search, and makes what does worse.
    fn round(&self, searches: &mut [Search]) {
        let changes: Vec<_> = searches
            .iter()
            .map(|s| {
                if s.settled {
                    Vec::new()
                } else {
                    s.changes(self.lot)
                }
            })
            .collect();
        let alone = |(s, changes): (&Search, &Vec<(usize, f64)>)| {
            let one = |change: &(usize, f64)| s.with(std::slice::from_ref(change));
            changes.iter().map(one).collect()
        };
        let tried: Vec<Vec<Vec<f64>>> = searches.iter().zip(&changes).map(alone).collect();
        let found = self.values(searches, &tried);
        let mut together = Vec::new();
        for ((search, changes), found) in searches.iter_mut().zip(changes).zip(found) {
            let tried: Vec<_> = changes.into_iter().zip(found).collect();
            let made = search.worth_making(&tried);
            search.settled = made.is_empty();
            let first = |n: usize| search.with(&made[..n]);
            together.push((1..=made.len()).map(first).collect());
        }
        self.take_worst(searches, &together);
    }

    /// Moves every search to the worst of what it tries.
    fn take_worst(&self, searches: &mut [Search], tried: &[Vec<Vec<f64>>]) {
        let found = self.values(searches, tried);
        for ((search, tried), found) in searches.iter_mut().zip(tried).zip(found) {
            for (deviations, value) in tried.iter().zip(found) {
                if search.is_worse(value, search.value) {
                    search.value = value;
                    search.deviations.clone_from(deviations);
                }
            }
        }
    }

    /// Each search's figure of all that it tries.
    fn values(&self, searches: &[Search], tried: &[Vec<Vec<f64>>]) -> Vec<Vec<f64>> {
        let mut rows = Vec::new();
        for (search, tried) in searches.iter().zip(tried) {
            for deviations in tried {
                rows.extend(self.lot.at(deviations, search.kelvin));
            }
        }
        let width = self.lot.places.len().max(1);
        let blocks: Vec<Vec<f64>> = rows
            .par_chunks(BLOCK * width)
            .map(|block| (self.evaluate)(block))
            .collect();
        let mut found = blocks.iter().flat_map(|b| b.chunks_exact(self.figures));
        let mut next = |figure: usize| found.next().map_or(f64::NAN, |row| row[figure]);
        let of =
            |(s, tried): (&Search, &Vec<Vec<f64>>)| tried.iter().map(|_| next(s.figure)).collect();
        searches.iter().zip(tried).map(of).collect()
    }
}
