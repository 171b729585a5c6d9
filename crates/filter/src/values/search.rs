//! Exact search for the best values of a stage on a shelf: branch and bound.
//!
//! Places are filled in the topology's order. Every free place is bracketed by the exact
//! design equations: from the ranges that f0, Q, gain and null must stay in for the cost
//! to be under the bound, and from the values already chosen, follows a range the next
//! value must lie in ([`crate::topology::Window`]). Values outside cannot lead to a lower
//! cost, so leaving them out loses nothing; the bound falls with every better combination
//! found. Passes with a rising first bound (×4) find good combinations soon; a pass that
//! finds something has looked at everything under its bound, so its best is the optimum.
//!
//! The real op-amp is allowed for by aiming off: once the capacitors are chosen, f0 and Q
//! of the aim are divided by what the amplifier's drift will multiply them with.
//! Ties go to the combination met first; the order is fixed, so is the answer.

use super::aim::Aim;
use super::found::{Found, Proof};
use super::shelf::Shelf;
use super::taste::Taste;
use crate::topology::{PlaceKind, Rule, Topology, Window};
use parts::OpampModel;

/// First bound of the first pass.
const FIRST_BOUND: f64 = 2e-3;

/// Passes: the last bound is 2e-3·4^7 = 33, beyond any design worth the name.
const PASSES: u32 = 8;

/// The best values for the aim that the shelf allows; `None` where it allows none.
#[must_use]
pub fn search(
    topology: Topology,
    aim: &Aim,
    shelf: &Shelf,
    taste: Taste,
    amplifier: &OpampModel,
) -> Option<Found> {
    let mut bound = taste.indifference + FIRST_BOUND;
    let mut visited = 0;
    let mut evaluated = 0;
    for _ in 0..PASSES {
        let mut pass = Pass {
            topology,
            aim,
            shelf,
            taste,
            amplifier,
            bound,
            best: None,
            evaluated,
            visited,
        };
        pass.descend(&mut Vec::new(), 0.0, aim);
        (visited, evaluated) = (pass.visited, pass.evaluated);
        if let Some(best) = pass.best {
            let proof = Proof {
                combinations: combinations(topology, shelf),
                evaluated,
                visited,
                bound,
            };
            return Some(Found {
                reached: topology.reached(&best.values),
                values: best.values,
                error: best.error,
                cost: best.cost,
                proof,
            });
        }
        bound *= 4.0;
    }
    None
}

fn combinations(topology: Topology, shelf: &Shelf) -> f64 {
    let free = topology.places().iter().filter(|p| p.rule == Rule::Free);
    #[expect(clippy::cast_precision_loss, reason = "a count for people to read")]
    free.map(|p| shelf.all(p.kind).len() as f64).product()
}

struct Best {
    values: Vec<f64>,
    error: f64,
    cost: f64,
}

struct Pass<'a> {
    topology: Topology,
    aim: &'a Aim,
    shelf: &'a Shelf,
    taste: Taste,
    amplifier: &'a OpampModel,
    bound: f64,
    best: Option<Best>,
    evaluated: u64,
    visited: u64,
}

impl Pass<'_> {
    fn descend(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        self.visited += 1;
        let places = self.topology.places();
        let Some(place) = places.get(chosen.len()) else {
            self.judge(chosen, awkward, aim);
            return;
        };
        let moved;
        let aim = if place.kind == PlaceKind::Resistor && chosen.len() == self.topology.capacitors()
        {
            let section = &self.aim.section;
            let drift = self
                .topology
                .drift(section, self.aim.gain, chosen, self.amplifier);
            moved = self.aim.against(drift);
            &moved
        } else {
            aim
        };
        match place.rule {
            Rule::Same(earlier) => self.place(chosen[earlier], 0.0, chosen, awkward, aim),
            Rule::Near(wanted) => {
                if let Some(value) = self.shelf.nearest(place.kind, wanted) {
                    self.place(value, 0.0, chosen, awkward, aim);
                }
            }
            Rule::Free => self.branch(place.kind, chosen, awkward, aim),
        }
    }

    fn branch(&mut self, kind: PlaceKind, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let Some((low, high)) = self.topology.bracket(&self.window(aim), chosen) else {
            return;
        };
        let shelf = self.shelf;
        for &value in shelf.between(kind, low, high) {
            let price = self.taste.of(kind, value);
            self.place(value, price, chosen, awkward, aim);
        }
    }

    fn place(&mut self, value: f64, price: f64, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let awkward = awkward + price;
        if self.taste.indifference + awkward > self.bound {
            return;
        }
        chosen.push(value);
        self.descend(chosen, awkward, aim);
        chosen.pop();
    }

    fn window(&self, aim: &Aim) -> Window {
        aim.window(self.bound)
    }

    fn judge(&mut self, chosen: &[f64], awkward: f64, aim: &Aim) {
        self.evaluated += 1;
        let error = aim.cost(&self.topology.reached(chosen));
        let cost = error.max(self.taste.indifference) + awkward;
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
