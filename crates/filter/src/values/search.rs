//! Exact search for the best values of a stage on a shelf: branch and bound.
//!
//! Places are filled in the topology's order. Every free place is bracketed by the exact
//! design equations: from the ranges that f0, Q, gain and null must stay in for the cost
//! to be under the bound, and from the values already chosen, follows a range the next
//! value must lie in ([`crate::topology::Window`]). Values outside cannot lead to a lower
//! cost, so leaving them out loses nothing; the bound falls with every better combination
//! found. Passes with a rising first bound (×2) find good combinations soon; a pass that
//! finds something has looked at everything under its bound, so its best is the optimum.
//!
//! The real op-amp is allowed for by aiming off: once the capacitors are chosen, f0 and Q
//! of the aim are divided by what the amplifier's drift will multiply them with. The drift
//! itself costs, because another sample has another.
//! Ties go to the combination met first; the order is fixed, so is the answer.

use super::aim::Aim;
use super::found::{Found, Proof};
use super::shelf::Shelf;
use super::taste::Taste;
use crate::topology::{PlaceKind, Rule, Topology};
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
}

/// The best values for the task; `None` where the shelf allows none under its `most`.
#[must_use]
pub fn search(task: &Task<'_>) -> Option<Found> {
    let mut bound = task.taste.indifference + FIRST_BOUND;
    let mut visited = 0;
    let mut evaluated = 0;
    loop {
        let last = bound >= task.most;
        let mut pass = Pass {
            task,
            bound: bound.min(task.most),
            best: None,
            evaluated,
            visited,
        };
        pass.descend(&mut Vec::new(), 0.0, &task.aim);
        (visited, evaluated) = (pass.visited, pass.evaluated);
        if let Some(best) = pass.best {
            let proof = Proof {
                combinations: combinations(task.topology, task.shelf),
                evaluated,
                visited,
                bound: bound.min(task.most),
            };
            return Some(best.found(task, proof));
        }
        if last {
            return None;
        }
        bound *= FURTHER;
    }
}

fn combinations(topology: Topology, shelf: &Shelf) -> f64 {
    let free = topology.places().iter().filter(|p| p.rule == Rule::Free);
    #[expect(clippy::cast_precision_loss, reason = "a count for people to read")]
    free.map(|p| shelf.all(p.kind).len() as f64).product()
}

/// The best combination so far; the input place holds the driving resistance as well.
struct Best {
    values: Vec<f64>,
    error: f64,
    cost: f64,
}

impl Best {
    fn found(mut self, task: &Task<'_>, proof: Proof) -> Found {
        let reached = task.topology.reached(&self.values);
        if let Some(input) = task.topology.input_place() {
            self.values[input] -= task.series;
        }
        Found {
            reached,
            values: self.values,
            error: self.error,
            cost: self.cost,
            proof,
        }
    }
}

struct Pass<'a> {
    task: &'a Task<'a>,
    bound: f64,
    best: Option<Best>,
    evaluated: u64,
    visited: u64,
}

impl Pass<'_> {
    fn descend(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        self.visited += 1;
        let topology = self.task.topology;
        let Some(place) = topology.places().get(chosen.len()) else {
            self.judge(chosen, awkward, aim);
            return;
        };
        let moved;
        let mut awkward = awkward;
        let aim = if place.kind == PlaceKind::Resistor && chosen.len() == topology.capacitors() {
            let wanted = &self.task.aim;
            let drift = topology.drift(&wanted.section, wanted.gain, chosen, self.task.amplifier);
            awkward += self.task.taste.of_drift(drift, wanted.section.q);
            moved = wanted.against(drift);
            &moved
        } else {
            aim
        };
        match place.rule {
            Rule::Same(earlier) => {
                let value = chosen[earlier] - self.series_at(earlier);
                self.place(value, 0.0, chosen, awkward, aim);
            }
            Rule::Near(wanted) => {
                if let Some(value) = self.task.shelf.nearest(place.kind, wanted) {
                    self.place(value, 0.0, chosen, awkward, aim);
                }
            }
            Rule::Free => self.branch(place.kind, chosen, awkward, aim),
        }
    }

    fn branch(&mut self, kind: PlaceKind, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let task = self.task;
        let window = aim.window(self.bound);
        let Some((low, high)) = task.topology.bracket(&window, chosen) else {
            return;
        };
        let series = self.series_at(chosen.len());
        for &value in task.shelf.between(kind, low - series, high - series) {
            let price = task.taste.of(kind, value);
            self.place(value + series, price, chosen, awkward, aim);
        }
    }

    /// What the driving resistance adds to that place.
    fn series_at(&self, place: usize) -> f64 {
        if self.task.topology.input_place() == Some(place) {
            self.task.series
        } else {
            0.0
        }
    }

    fn place(&mut self, value: f64, price: f64, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let awkward = awkward + price;
        let least = self.task.taste.indifference + awkward;
        // once something is found, only a lower cost is of use
        if least > self.bound || (self.best.is_some() && least >= self.bound) {
            return;
        }
        chosen.push(value);
        self.descend(chosen, awkward, aim);
        chosen.pop();
    }

    fn judge(&mut self, chosen: &[f64], awkward: f64, aim: &Aim) {
        self.evaluated += 1;
        let error = aim.cost(&self.task.topology.reached(chosen));
        let cost = error.max(self.task.taste.indifference) + awkward;
        let better = self.best.as_ref().is_none_or(|best| cost < best.cost);
        if better && cost <= self.bound {
            self.bound = cost;
            self.best = Some(Best {
                values: chosen.to_vec(),
                error,
                cost,
            });
        }
    }
}
