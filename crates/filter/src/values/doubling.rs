//! Places made of two parts: what each added part brings, and whether it pays.
//!
//! Step `n` of the frontier is the least cost with `n` parts more than the stage has places. Up to
//! [`EXACT`] added parts every choice of places is searched, each as exactly as a stage of single
//! parts: the doubled place simply has a longer list, the single values and all their compounds. Above,
//! only additions to the best of the step before are looked at. A place whose value others share costs
//! a part for each of them. The frontier ends where no further part can pay, and is broken off where its
//! effort comes to an end; steps from there on are no longer called exact.
//!
//! # When it pays
//!
//! The parts' own tolerances move the stage at random; the error of the chosen values comes on top. With
//! `s` the standard deviation that tolerances give the weighed error and `e` the error of the values,
//! what the builder gets is off by `√(e² + s²)` (rms, independent causes). A part more pays where it
//! takes a tenth off that ([`PAYS`]): a stage has about ten parts, so a tenth is the least that keeps
//! the error in proportion to the soldering. With 5 % capacitors it never pays unless the shelf is very
//! coarse; with parts of 1 % or better, measured or trimmed, it may.

use super::compound::Compound;
use super::found::Found;
use super::scope::Scope;
use super::search::{Task, search_in};
use crate::Shape;
use crate::topology::{PlaceKind, Rule};
use units::Ratio;

/// Added parts up to which every choice of places is searched.
const EXACT: usize = 2;

/// An added part pays where the rms error falls to this share or less.
pub const PAYS: f64 = 0.9;

/// Which kinds of part may be doubled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Pairs {
    /// Resistors, in series or in parallel.
    pub resistors: bool,
    /// Capacitors, in parallel.
    pub capacitors: bool,
}

impl Pairs {
    /// Whether none may.
    #[must_use]
    pub fn is_none(self) -> bool {
        self == Pairs::default()
    }

    fn allow(self, kind: PlaceKind) -> bool {
        match kind {
            PlaceKind::Resistor => self.resistors,
            PlaceKind::Capacitor => self.capacitors,
        }
    }
}

/// A place that is made of two parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubled {
    /// Number of the place in the topology's order.
    pub place: usize,
    /// What stands there.
    pub compound: Compound,
}

/// The best stage with so many parts more than places.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Parts more than places.
    pub added: usize,
    /// Values of the places, error and cost.
    pub found: Found,
    /// The places made of two parts, those that share a value each by itself.
    pub doubled: Vec<Doubled>,
    /// Whether nothing with so many parts is better.
    pub exact: bool,
}

/// How far a frontier is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Most parts added.
    pub most: usize,
    /// Standard deviation that tolerances give the weighed error ([`hidden`]): the frontier ends where
    /// it leaves nothing for another part to pay with. None ends it at 0.
    pub hidden: f64,
    /// Combinations visited before the searches are broken off.
    pub effort: u64,
}

impl Extent {
    /// So many parts, whether they pay or not, with a few seconds of effort.
    #[must_use]
    pub const fn of(most: usize) -> Self {
        Extent {
            most,
            hidden: 0.0,
            effort: 30_000_000,
        }
    }
}

/// Cost against number of parts, from single parts on; only steps that better the one before are
/// listed. The first step has added parts where single ones find nothing under the task's
/// `most`.
#[must_use]
pub fn doubling(task: &Task<'_>, pairs: Pairs, extent: Extent) -> Vec<Step> {
    let mut doubling = Doubling::new(task, pairs, extent.effort);
    let single = search_in(task, &Scope::of(task)).found;
    let mut steps: Vec<Step> = Vec::new();
    steps.extend(single.map(|found| Step {
        added: 0,
        found,
        doubled: Vec::new(),
        exact: true,
    }));
    let mut every = true;
    let worth = |step: &Step| may_pay(step.found.error, extent.hidden);
    for added in 1..=extent.most {
        if !steps.last().is_none_or(worth) {
            break;
        }
        let (best, exact) = doubling.step(added, steps.last());
        every &= exact && added <= EXACT;
        if let Some(found) = best {
            steps.push(Step {
                added,
                doubled: doubling.doubled(&found),
                found,
                exact: every,
            });
        }
    }
    steps
}

struct Doubling<'a> {
    task: &'a Task<'a>,
    /// Compounds and full list of resistors, then of capacitors.
    compounds: [Vec<Compound>; 2],
    lists: [Vec<f64>; 2],
    /// Places that may be doubled, and the parts that takes.
    places: Vec<(usize, usize)>,
    /// Combinations that may still be visited.
    effort: u64,
}

impl<'a> Doubling<'a> {
    fn new(task: &'a Task<'a>, pairs: Pairs, effort: u64) -> Self {
        let kinds = [PlaceKind::Resistor, PlaceKind::Capacitor];
        let compounds = kinds.map(|kind| match pairs.allow(kind) {
            true => Compound::of(task.shelf, kind),
            false => Vec::new(),
        });
        let list = |number: usize| {
            let values = compounds[number].iter().map(Compound::value);
            let mut list: Vec<f64> = task.shelf.all(kinds[number]).to_vec();
            list.extend(values);
            list.sort_by(f64::total_cmp);
            list
        };
        let rules: Vec<Rule> = task.topology.places().iter().map(|p| p.rule).collect();
        let rules: Vec<Rule> = rules.iter().map(|r| r.released(task.unequal)).collect();
        let sharing = |k: usize| rules.iter().filter(|r| **r == Rule::Same(k)).count();
        let able = |k: &usize| pairs.allow(task.topology.places()[*k].kind);
        let free = (0..rules.len()).filter(|&k| rules[k] == Rule::Free);
        let places = free.filter(able).map(|k| (k, 1 + sharing(k))).collect();
        Doubling {
            lists: [list(0), list(1)],
            task,
            compounds,
            places,
            effort,
        }
    }

    fn number(&self, place: usize) -> usize {
        usize::from(self.task.topology.places()[place].kind == PlaceKind::Capacitor)
    }

    /// The best with exactly or at most so many added parts, if it betters the step before, and
    /// whether everything was looked at.
    fn step(&mut self, added: usize, before: Option<&Step>) -> (Option<Found>, bool) {
        let mut best: Option<Found> = None;
        let mut exact = true;
        for choice in self.choices(added, before) {
            let so_far = best.as_ref().or(before.map(|b| &b.found));
            let most = so_far.map_or(self.task.most, |found| found.cost * (1.0 - 1e-9));
            let task = Task { most, ..*self.task };
            let mut scope = Scope::of(&task).with_effort(self.effort);
            for place in choice {
                scope = scope.with(place, &self.lists[self.number(place)]);
            }
            let search = search_in(&task, &scope);
            exact &= search.complete;
            best = search.found.or(best);
            self.effort = self.effort.saturating_sub(search.visited);
        }
        (best, exact)
    }

    /// Which places to double: every choice that takes so many parts at most and is not part of a
    /// larger one, or additions to what was doubled before.
    fn choices(&self, added: usize, before: Option<&Step>) -> Vec<Vec<usize>> {
        let mut base: Vec<usize> = Vec::new();
        if added > EXACT {
            let doubled = before.iter().flat_map(|b| &b.doubled).map(|d| d.place);
            base.extend(doubled.filter(|k| self.places.iter().any(|(p, _)| p == k)));
        }
        let parts = |choice: &[usize]| -> usize {
            let of = |k: &usize| self.places.iter().find(|(p, _)| p == k).map_or(0, |p| p.1);
            choice.iter().map(of).sum()
        };
        let mut choices = vec![base.clone()];
        for &(place, _) in &self.places {
            let grown: Vec<Vec<usize>> = choices
                .iter()
                .filter(|choice| !choice.contains(&place))
                .map(|choice| [choice.as_slice(), &[place]].concat())
                .filter(|choice| parts(choice) <= added)
                .collect();
            choices.extend(grown);
        }
        let part_of =
            |a: &[usize], b: &[usize]| a.len() < b.len() && a.iter().all(|k| b.contains(k));
        let all = choices.clone();
        choices.retain(|choice| {
            choice.len() > base.len() && !all.iter().any(|other| part_of(choice, other))
        });
        choices
    }

    /// Which values of a stage are compounds.
    fn doubled(&self, found: &Found) -> Vec<Doubled> {
        let compound = |(place, value): (usize, &f64)| {
            let compounds = &self.compounds[self.number(place)];
            if single(self.task, place, *value) {
                return None;
            }
            let near = compounds.partition_point(|c| c.value() < value * (1.0 - 1e-9));
            let compound = *compounds.get(near)?;
            let same = (compound.value() / value - 1.0).abs() < 1e-9;
            same.then_some(Doubled { place, compound })
        };
        found
            .values
            .iter()
            .enumerate()
            .filter_map(compound)
            .collect()
    }
}

fn single(task: &Task<'_>, place: usize, value: f64) -> bool {
    let kind = task.topology.places()[place].kind;
    let near = task
        .shelf
        .between(kind, value * (1.0 - 1e-9), value * (1.0 + 1e-9));
    !near.is_empty()
}

/// Standard deviation of the weighed error that tolerances bring: parts independent, uniform within
/// their tolerance (`σ = t/√3`), to first order. Of f0, Q and gain the worst counts; gain not where the
/// aim leaves it free.
#[must_use]
pub fn hidden(task: &Task<'_>, values: &[f64], resistors: Ratio, capacitors: Ratio) -> f64 {
    let mut driven = values.to_vec();
    if let Some(input) = task.topology.input_place() {
        driven[input] += task.series;
    }
    let slopes = task.topology.sensitivities(&driven);
    let tolerance = |kind| match kind {
        PlaceKind::Resistor => resistors.0,
        PlaceKind::Capacitor => capacitors.0,
    };
    let (mut f0, mut q, mut gain) = (0.0, 0.0, 0.0);
    for (place, slope) in task.topology.places().iter().zip(slopes) {
        let variance = tolerance(place.kind).powi(2) / 3.0;
        f0 += slope.f0 * slope.f0 * variance;
        q += slope.q * slope.q * variance;
        gain += slope.gain * slope.gain * variance;
    }
    let weights = &task.aim.weights;
    let first = matches!(
        task.aim.section.shape,
        Shape::FirstLowPass | Shape::FirstHighPass
    );
    let counts = |counts: bool, weight: f64, variance: f64| match counts {
        true => weight * variance.sqrt(),
        false => 0.0,
    };
    (weights.f0 * f0.sqrt())
        .max(counts(!first, weights.q, q))
        .max(counts(task.aim.slack.is_finite(), weights.gain, gain))
}

/// The last step of the frontier that pays, for tolerances that hide `spread`.
#[must_use]
pub fn paying(steps: &[Step], spread: f64) -> Option<&Step> {
    let mut steps = steps.iter();
    let mut taken = steps.next()?;
    for step in steps {
        let parts = i32::try_from(step.added - taken.added).unwrap_or(i32::MAX);
        if step.found.error.hypot(spread) <= PAYS.powi(parts) * taken.found.error.hypot(spread) {
            taken = step;
        }
    }
    Some(taken)
}

/// Whether any added part could pay: none does where even a stage without error would be off by more
/// than [`PAYS`] of what this one is.
#[must_use]
pub fn may_pay(error: f64, spread: f64) -> bool {
    spread <= PAYS * error.hypot(spread)
}
