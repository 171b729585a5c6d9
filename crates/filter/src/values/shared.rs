//! Fewest different values of a chain: stages that share them.
//!
//! Each stage is searched for every combination within a reach, then one of each is chosen so that all
//! of them together have few different values: depth first, cheapest first, the worst stage counting.
//! The reach grows (×1.5) from the worst stage of the separate optima to what is tolerated, as long as
//! the stages have no more than [`MOST`] combinations in it. What is proven is that no chain of so few
//! values has every stage within the reach at a lower cost; beyond the reach nothing is said. A choice
//! that takes more than [`EFFORT`] looks is broken off and its step no longer called exact.

use super::descent::{Catch, Chosen, Descent};
use super::found::{Found, Proof};
use super::scope::Scope;
use super::search::{Task, found, search};
use crate::topology::PlaceKind;
use std::collections::HashMap;

/// Combinations of a stage that are kept.
const MOST: usize = 20_000;

/// Combinations looked at while choosing for one number of values.
const EFFORT: u64 = 40_000_000;

/// How much further each reach is than the one before.
const FURTHER: f64 = 1.5;

/// The best chain of so many different values.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// Different values, resistors and capacitors together.
    pub distinct: usize,
    /// The stages, in the order of the tasks.
    pub stages: Vec<Found>,
    /// Cost of the worst of them.
    pub cost: f64,
    /// Whether nothing of so few values is better.
    pub exact: bool,
}

/// Number of different values against the cost of the worst stage, and how far it was looked.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedValues {
    /// Most values and least cost first.
    pub steps: Vec<Shared>,
    /// Cost of a stage up to which every combination was looked at.
    pub reach: f64,
}

/// The frontier for these stages, no stage costing more than `tolerated`. All tasks have the same
/// shelf. Empty where a stage has no values at all.
#[must_use]
pub fn shared_values(tasks: &[Task<'_>], tolerated: f64) -> SharedValues {
    let nothing = SharedValues {
        steps: Vec::new(),
        reach: 0.0,
    };
    let best: Vec<Found> = tasks.iter().filter_map(search).collect();
    if tasks.is_empty() || best.len() < tasks.len() {
        return nothing;
    }
    let worst = best.iter().map(|b| b.cost).fold(0.0, f64::max);
    let (mut reach, mut stages) = (worst, Vec::new());
    let mut next = worst.max(tolerated / FURTHER.powi(8));
    while let Some(found) = combinations(tasks, next.min(tolerated.max(worst))) {
        (reach, stages) = (next.min(tolerated.max(worst)), found);
        if next >= tolerated {
            break;
        }
        next *= FURTHER;
    }
    if stages.is_empty() {
        // even the narrowest reach holds too much: the separate optima are all there is to say
        stages = best.into_iter().map(|b| vec![chosen(b)]).collect();
    }
    let mut choice = Choice::new(tasks, stages);
    let mut steps: Vec<Shared> = Vec::new();
    let mut allowed = usize::MAX;
    while let Some(step) = choice.run(allowed, reach) {
        allowed = step.distinct.saturating_sub(1);
        while steps.last().is_some_and(|s| s.cost >= step.cost) {
            steps.pop();
        }
        steps.push(step);
    }
    SharedValues { steps, reach }
}

/// A stage found before, with its driving resistance taken out already.
fn chosen(found: Found) -> Chosen {
    Chosen {
        values: found.values,
        error: found.error,
        cost: found.cost,
    }
}

/// Every combination of every stage within reach; `None` where a stage has too many.
fn combinations(tasks: &[Task<'_>], reach: f64) -> Option<Vec<Vec<Chosen>>> {
    let stage = |task: &Task<'_>| {
        let scope = Scope::of(task);
        // a hair more, so that what costs the reach itself is in it
        let catch = Catch::All(Vec::new(), MOST);
        let mut pass = Descent::new(task, &scope, reach * (1.0 + 1e-12), catch);
        pass.run();
        let Catch::All(mut all, _) = pass.catch else {
            return None;
        };
        if let Some(input) = task.topology.input_place() {
            all.iter_mut().for_each(|c| c.values[input] -= task.series);
        }
        (!pass.broken_off).then_some(all)
    };
    tasks.iter().map(stage).collect()
}

/// One stage's way to be made: which values, at what cost.
struct Way {
    values: Vec<u16>,
    chosen: Chosen,
}

/// Choosing one way a stage.
struct Choice<'a> {
    tasks: &'a [Task<'a>],
    /// Ways of each stage, cheapest first.
    ways: Vec<Vec<Way>>,
    /// Stages in the order in which they are chosen: fewest ways first.
    order: Vec<usize>,
    /// How many stages chosen so far use each value.
    used: Vec<u32>,
    looks: u64,
}

/// The best choice so far.
struct Best {
    cost: f64,
    ways: Vec<usize>,
}

impl<'a> Choice<'a> {
    fn new(tasks: &'a [Task<'a>], stages: Vec<Vec<Chosen>>) -> Self {
        let values = |kind| tasks[0].shelf.all(kind).len();
        let count = values(PlaceKind::Resistor) + values(PlaceKind::Capacitor);
        let ways: Vec<Vec<Way>> = (tasks.iter().zip(stages))
            .map(|(task, all)| ways(task, all))
            .collect();
        let mut order: Vec<usize> = (0..ways.len()).collect();
        order.sort_by_key(|&k| ways[k].len());
        Choice {
            tasks,
            ways,
            order,
            used: vec![0; count],
            looks: 0,
        }
    }

    /// The cheapest choice of at most so many values.
    fn run(&mut self, allowed: usize, reach: f64) -> Option<Shared> {
        self.looks = 0;
        let mut best = Best {
            cost: reach * (1.0 + 1e-9),
            ways: Vec::new(),
        };
        self.descend(allowed, 0, 0.0, &mut Vec::new(), &mut best);
        if best.ways.is_empty() {
            return None;
        }
        let exact = self.looks <= EFFORT;
        let mut stages: Vec<(usize, Found)> = (self.order.iter().zip(&best.ways))
            .map(|(&stage, &way)| {
                let chosen = self.ways[stage][way].chosen.clone();
                (stage, self.found(stage, chosen))
            })
            .collect();
        stages.sort_by_key(|(stage, _)| *stage);
        let mut all: Vec<u16> = (self.order.iter().zip(&best.ways))
            .flat_map(|(&stage, &way)| self.ways[stage][way].values.iter().copied())
            .collect();
        all.sort_unstable();
        all.dedup();
        Some(Shared {
            distinct: all.len(),
            stages: stages.into_iter().map(|(_, found)| found).collect(),
            cost: best.cost,
            exact,
        })
    }

    fn found(&self, stage: usize, mut chosen: Chosen) -> Found {
        let task = &self.tasks[stage];
        let proof = Proof {
            combinations: Scope::of(task).combinations(),
            evaluated: self.ways[stage].len() as u64,
            visited: self.looks,
            bound: chosen.cost,
        };
        if let Some(input) = task.topology.input_place() {
            chosen.values[input] += task.series;
        }
        found(task, chosen, proof)
    }

    fn descend(
        &mut self,
        allowed: usize,
        distinct: usize,
        cost: f64,
        taken: &mut Vec<usize>,
        best: &mut Best,
    ) {
        let Some(&stage) = self.order.get(taken.len()) else {
            *best = Best {
                cost,
                ways: taken.clone(),
            };
            return;
        };
        for number in 0..self.ways[stage].len() {
            self.looks += 1;
            let way = &self.ways[stage][number];
            let worst = cost.max(way.chosen.cost);
            if worst >= best.cost || self.looks > EFFORT {
                break;
            }
            let new = way
                .values
                .iter()
                .filter(|&&v| self.used[usize::from(v)] == 0);
            let distinct = distinct + new.count();
            if distinct > allowed {
                continue;
            }
            self.mark(stage, number, 1);
            taken.push(number);
            self.descend(allowed, distinct, worst, taken, best);
            taken.pop();
            self.mark(stage, number, u32::MAX);
        }
    }

    /// Counts the values of a way up, or down by the number that wraps round to it.
    fn mark(&mut self, stage: usize, number: usize, by: u32) {
        for &value in &self.ways[stage][number].values {
            let used = &mut self.used[usize::from(value)];
            *used = used.wrapping_add(by);
        }
    }
}

/// The ways of a stage, cheapest first; of combinations with the same values the cheapest.
fn ways(task: &Task<'_>, all: Vec<Chosen>) -> Vec<Way> {
    let mut cheapest: HashMap<Vec<u16>, Chosen> = HashMap::new();
    for chosen in all {
        let values = palette(task, &chosen.values);
        let better = |now: &Chosen| {
            let order = chosen.cost.total_cmp(&now.cost);
            // the order of a table must not show: of equals the smaller values
            order
                .then_with(|| compare(&chosen.values, &now.values))
                .is_lt()
        };
        if cheapest.get(&values).is_none_or(better) {
            cheapest.insert(values, chosen);
        }
    }
    let way = |(values, chosen)| Way { values, chosen };
    let mut ways: Vec<Way> = cheapest.into_iter().map(way).collect();
    ways.sort_by(|a, b| {
        let order = a.chosen.cost.total_cmp(&b.chosen.cost);
        order.then_with(|| a.values.cmp(&b.values))
    });
    ways
}

fn compare(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    let order = a.iter().zip(b).map(|(x, y)| x.total_cmp(y));
    order.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
}

/// The different values of a stage by their places on the shelf, capacitors after resistors.
fn palette(task: &Task<'_>, values: &[f64]) -> Vec<u16> {
    let resistors = task.shelf.all(PlaceKind::Resistor).len();
    let place = |(place, &value): (&crate::topology::Place, &f64)| {
        let all = task.shelf.all(place.kind);
        let at = all.partition_point(|v| *v < value * (1.0 - 1e-9));
        let number = match place.kind {
            PlaceKind::Resistor => at,
            PlaceKind::Capacitor => resistors + at,
        };
        u16::try_from(number).unwrap_or(u16::MAX)
    };
    let mut palette: Vec<u16> = task
        .topology
        .places()
        .iter()
        .zip(values)
        .map(place)
        .collect();
    palette.sort_unstable();
    palette.dedup();
    palette
}
