//! One pass of branch and bound through the places of a stage.
//!
//! Places are filled in the topology's order. Every free place is bracketed by the exact
//! design equations: from the ranges that f0, Q, gain and null must stay in for the cost
//! to be under the bound, and from the values already chosen, follows a range the next
//! value must lie in ([`crate::topology::Window`]). Values outside cannot lead to a lower
//! cost, so leaving them out loses nothing; where only the best is wanted, the bound falls with
//! every better combination found.

use super::aim::Aim;
use super::scope::Scope;
use super::search::Task;
use super::shelf::alike;
use crate::topology::{PlaceKind, Rule};
use std::f64::consts::TAU;

/// A complete combination; the input place holds the driving resistance as well.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    pub(super) values: Vec<f64>,
    pub(super) error: f64,
    pub(super) cost: f64,
}

/// What is kept of the combinations under the bound.
#[derive(Debug)]
pub(super) enum Catch {
    /// The best.
    Best(Option<Chosen>),
    /// All of them, up to so many; one more is not kept and ends the pass.
    All(Vec<Chosen>, usize),
}

/// A pass under way.
pub(super) struct Descent<'a> {
    task: &'a Task<'a>,
    scope: &'a Scope<'a>,
    bound: f64,
    pub(super) catch: Catch,
    pub(super) evaluated: u64,
    pub(super) visited: u64,
    /// Whether there were more than could be kept, or visited.
    pub(super) broken_off: bool,
}

impl<'a> Descent<'a> {
    pub(super) fn new(task: &'a Task<'a>, scope: &'a Scope<'a>, bound: f64, catch: Catch) -> Self {
        Descent {
            task,
            scope,
            bound,
            catch,
            evaluated: 0,
            visited: 0,
            broken_off: false,
        }
    }

    /// Looks at every combination that may cost less than the bound.
    pub(super) fn run(&mut self) {
        let task = self.task;
        self.descend(&mut Vec::new(), 0.0, &task.aim);
    }

    fn descend(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        self.visited += 1;
        self.broken_off |= self.visited > self.scope.effort;
        let task = self.task;
        let topology = task.topology;
        let Some(place) = topology.places().get(chosen.len()) else {
            self.judge(chosen, awkward, aim);
            return;
        };
        let moved;
        let mut awkward = awkward;
        let aim = if place.kind == PlaceKind::Resistor && chosen.len() == topology.capacitors() {
            let wanted = &task.aim;
            let drift = topology.drift(&wanted.section, wanted.gain, chosen, task.amplifier);
            awkward += task.taste.of_drift(drift, wanted.section.q);
            moved = wanted.against(drift);
            &moved
        } else {
            aim
        };
        match place.rule.released(task.unequal) {
            Rule::Same(earlier) | Rule::Tied(earlier) => {
                let value = chosen[earlier] - self.series_at(earlier);
                self.place(value, 0.0, chosen, awkward, aim);
            }
            Rule::Near(wanted) => {
                let used = |value| self.used(place.kind, value, chosen);
                if let Some(value) = task.shelf.about(place.kind, wanted, used) {
                    self.place(value, 0.0, chosen, awkward, aim);
                }
            }
            Rule::Free => self.branch(chosen, awkward, aim),
        }
    }

    fn branch(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let (task, number) = (self.task, chosen.len());
        let place = task.topology.places()[number];
        // what the awkward values cost is no longer there for the error
        let window = aim.window(self.bound - awkward);
        let Some(bracket) = task.topology.bracket(&window, chosen) else {
            return;
        };
        let wanted = TAU * task.aim.section.f0.0;
        let design = place.design.range(wanted, chosen);
        let (low, high) = (bracket.0.max(design.0), bracket.1.min(design.1));
        let series = self.series_at(number);
        for &value in self.scope.between(number, low - series, high - series) {
            let price = task.taste.of(place.kind, value);
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
        let Some(bought) = self.bought(value, chosen) else {
            return;
        };
        let awkward = awkward + price + bought;
        let least = self.task.taste.indifference + awkward;
        // once something is found, only a lower cost is of use
        let found = matches!(self.catch, Catch::Best(Some(_)));
        if self.broken_off || least > self.bound || (found && least >= self.bound) {
            return;
        }
        chosen.push(value);
        if self.scope.distinct == usize::MAX || self.different(chosen) <= self.scope.distinct {
            self.descend(chosen, awkward, aim);
        }
        chosen.pop();
    }

    /// What the drawer makes one more part of that value cost; `None` where there is none.
    fn bought(&self, value: f64, chosen: &[f64]) -> Option<f64> {
        let shelf = self.task.shelf;
        if !shelf.has_drawer() {
            return Some(0.0);
        }
        let kind = self.task.topology.places()[chosen.len()].kind;
        let value = value - self.series_at(chosen.len());
        shelf.price(kind, value, self.used(kind, value, chosen))
    }

    /// How many of the chosen parts have that value, the driving resistance left out.
    fn used(&self, kind: PlaceKind, value: f64, chosen: &[f64]) -> usize {
        let places = self.task.topology.places();
        (0..chosen.len())
            .filter(|&k| places[k].kind == kind && alike(chosen[k] - self.series_at(k), value))
            .count()
    }

    /// How many different values were chosen, the driving resistance left out.
    fn different(&self, chosen: &[f64]) -> usize {
        let places = self.task.topology.places();
        let part = |k: usize| (places[k].kind, chosen[k] - self.series_at(k));
        let alike = |(a, x): (PlaceKind, f64), (b, y): (PlaceKind, f64)| {
            a == b && (x / y - 1.0).abs() < 1e-9
        };
        (0..chosen.len())
            .filter(|&k| (0..k).all(|j| !alike(part(j), part(k))))
            .count()
    }

    fn judge(&mut self, chosen: &[f64], awkward: f64, aim: &Aim) {
        self.evaluated += 1;
        let error = aim.cost(&self.task.topology.reached(chosen));
        let cost = error.max(self.task.taste.indifference) + awkward;
        if cost > self.bound {
            return;
        }
        let this = || Chosen {
            values: chosen.to_vec(),
            error,
            cost,
        };
        match &mut self.catch {
            Catch::Best(best) => {
                if best.as_ref().is_none_or(|best| cost < best.cost) {
                    *best = Some(this());
                    self.bound = cost;
                }
            }
            Catch::All(all, most) if all.len() < *most => all.push(this()),
            Catch::All(..) => self.broken_off = true,
        }
    }
}
