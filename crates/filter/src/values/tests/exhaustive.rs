//! Slow judge: every combination of a small shelf that the rules of design allow, none of the
//! brackets, for every topology. The search must find the same cost to the bit, and the same values.

use crate::topology::{PlaceKind, Rule, Topology};
use crate::values::{Aim, Measure, Shelf, Task, Taste, Weights, search};
use crate::{Section, Shape};
use numeric::SplitMix;
use parts::{OpampModel, Series};
use std::f64::consts::TAU;
use units::{Farads, Hertz, Ohms};

/// Shelves tried for each topology.
const SHELVES: usize = 24;

/// Combinations of a shelf, about: what a test build looks through in a tenth of a second.
const COMBINATIONS: f64 = 3e4;

/// A draw of everything a task is made of.
pub(super) struct Draw {
    topology: Topology,
    aim: Aim,
    pub(super) shelf: Shelf,
    taste: Taste,
    amplifier: OpampModel,
    series: f64,
    unequal: bool,
}

impl Draw {
    pub(super) fn task(&self) -> Task<'_> {
        Task {
            topology: self.topology,
            aim: self.aim,
            shelf: &self.shelf,
            taste: self.taste,
            amplifier: &self.amplifier,
            series: self.series,
            most: 0.5,
            unequal: self.unequal,
        }
    }
}

fn below(random: &mut SplitMix, end: usize) -> usize {
    ((random.unit() * end as f64) as usize).min(end - 1)
}

fn log_between(random: &mut SplitMix, low: f64, high: f64) -> f64 {
    low * (high / low).powf(random.unit())
}

/// A section that the topology makes, and a gain it can have.
fn wanted(random: &mut SplitMix, topology: Topology) -> (Section, f64) {
    let f0 = log_between(random, 300.0, 1200.0);
    let beside = f0 * log_between(random, 0.6, 1.7);
    let shapes = [
        Shape::BandPass,
        Shape::LowPass,
        Shape::HighPass,
        Shape::Notch {
            zero: Hertz(beside),
        },
        Shape::Notch { zero: Hertz(f0) },
        Shape::FirstLowPass,
        Shape::FirstHighPass,
    ];
    let q = log_between(random, 0.6, 4.5);
    let section = |shape| Section {
        shape,
        f0: Hertz(f0),
        q,
    };
    let section = shapes.map(section).into_iter().find(|s| topology.makes(s));
    let section = section.expect("a shape for every topology");
    let most = topology.most_gain(&section).min(2.0);
    let gain = log_between(random, 0.3 * most, 0.9 * most);
    (section, topology.forced_gain(&section).unwrap_or(gain))
}

/// A few values near those of the design equations, and others at random.
fn shelf(random: &mut SplitMix, draw: (Topology, Section, f64), unequal: bool) -> Shelf {
    let (topology, section, gain) = draw;
    let (e6, e24) = (Series::E6, Series::E24);
    let free = |kind| {
        let places = topology.places().iter().filter(|p| p.kind == kind);
        let free = places.filter(|p| p.rule.released(unequal) == Rule::Free);
        free.count() as i32
    };
    let mut capacitors = Vec::new();
    let mut centre = None;
    while centre.is_none() {
        let one = |_| e6.nearest(Farads(log_between(random, 1e-9, 220e-9))).0;
        capacitors = (0..3).map(one).collect();
        let order: Vec<f64> = (0..topology.capacitors())
            .map(|k| capacitors[if unequal { k % 3 } else { k.min(1) }])
            .collect();
        centre = topology.ideal(&section, gain, &order);
    }
    let left = COMBINATIONS / 3f64.powi(free(PlaceKind::Capacitor));
    let count = left.powf(1.0 / f64::from(free(PlaceKind::Resistor))) as usize;
    let mut resistors: Vec<f64> = Vec::new();
    for ideal in &centre.expect("found above")[topology.capacitors()..] {
        let near = ideal * log_between(random, 0.93, 1.07);
        resistors.push(e24.nearest(Ohms(near.clamp(100.0, 1e7))).0);
    }
    let mut shelf = Shelf::new(resistors.clone(), capacitors.clone());
    while shelf.all(PlaceKind::Resistor).len() < count.min(24) {
        resistors.push(e24.nearest(Ohms(log_between(random, 1e3, 1e6))).0);
        shelf = Shelf::new(resistors.clone(), capacitors.clone());
    }
    shelf
}

pub(super) fn drawn(random: &mut SplitMix, topology: Topology, number: usize) -> Draw {
    let (section, gain) = wanted(random, topology);
    let unequal = number % 2 == 1;
    let shelf = shelf(random, (topology, section, gain), unequal);
    let slack = [1.0, 1.4, f64::INFINITY][below(random, 3)];
    let mut aim = Aim::response(section, gain, slack);
    if random.unit() < 0.5 {
        aim.weights = Weights::EQUAL;
    }
    if random.unit() < 0.5 {
        aim.measure = Measure::Sum;
    }
    let slow = OpampModel {
        dc_gain: 1e5,
        gain_bandwidth: Hertz(0.7e6),
        ..OpampModel::ideal()
    };
    let input = topology.input_place().is_some();
    Draw {
        topology,
        aim,
        shelf,
        taste: [Taste::NONE, Taste::BENCH][below(random, 2)],
        amplifier: [OpampModel::ideal(), slow][below(random, 2)].clone(),
        series: if input {
            [0.0, 330.0][below(random, 2)]
        } else {
            0.0
        },
        unequal,
    }
}

/// Every combination, in the order of the places.
struct Judge<'a> {
    task: &'a Task<'a>,
    least: f64,
    best: Option<Vec<f64>>,
}

impl Judge<'_> {
    fn look(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let task = self.task;
        let topology = task.topology;
        let Some(place) = topology.places().get(chosen.len()) else {
            let error = aim.cost(&topology.reached(chosen));
            let cost = error.max(task.taste.indifference) + awkward;
            if cost < self.least {
                self.least = cost;
                self.best = Some(chosen.clone());
            }
            return;
        };
        let (mut moved, mut awkward) = (*aim, awkward);
        if chosen.len() == topology.capacitors() {
            let (section, gain) = (&task.aim.section, task.aim.gain);
            let drift = topology.drift(section, gain, chosen, task.amplifier);
            awkward += task.taste.of_drift(drift, section.q);
            moved = task.aim.against(drift);
        }
        let driven = topology.input_place() == Some(chosen.len());
        let series = if driven { task.series } else { 0.0 };
        let rule = place.rule.released(task.unequal);
        let values: Vec<f64> = match rule {
            Rule::Free => task.shelf.all(place.kind).to_vec(),
            Rule::Same(earlier) | Rule::Tied(earlier) => vec![chosen[earlier]],
            Rule::Near(near) => task.shelf.nearest(place.kind, near).into_iter().collect(),
        };
        let (low, high) = place.design.range(TAU * task.aim.section.f0.0, chosen);
        for value in values {
            let total = value + series;
            let free = rule == Rule::Free;
            if free && !(low * (1.0 - 1e-12)..=high * (1.0 + 1e-12)).contains(&total) {
                continue;
            }
            let price = if free {
                task.taste.of(place.kind, value)
            } else {
                0.0
            };
            chosen.push(total);
            self.look(chosen, awkward + price, &moved);
            chosen.pop();
        }
    }
}

/// Exhaustive enumeration, seeds fixed: random shelves of at most 24 resistors and 3 capacitors,
/// random aims, both measures, with and without taste, driving resistance, a slow amplifier and
/// capacitors that may differ.
#[test]
fn the_search_is_exhaustive_for_every_topology() {
    let mut random = SplitMix::new(60_063);
    let (mut some, mut none) = (0, 0);
    for &topology in Topology::ALL {
        let mut served = 0;
        for number in 0..SHELVES {
            let draw = drawn(&mut random, topology, number);
            let task = draw.task();
            let mut judge = Judge {
                task: &task,
                least: f64::INFINITY,
                best: None,
            };
            judge.look(&mut Vec::new(), 0.0, &task.aim);
            let what = format!("{} {number} {:?}", topology.name(), task.aim);
            match search(&task) {
                Some(found) => {
                    let mut values = found.values;
                    if let Some(input) = topology.input_place() {
                        values[input] += task.series;
                    }
                    let (ours, theirs) = (found.cost.to_bits(), judge.least.to_bits());
                    assert_eq!(ours, theirs, "{} {} {what}", found.cost, judge.least);
                    let best = judge.best.expect("a best of that cost");
                    let same = |(a, b): (&f64, &f64)| (a / b - 1.0).abs() < 1e-12;
                    assert!(
                        values.iter().zip(&best).all(same),
                        "{what} {values:?} {best:?}"
                    );
                    served += 1;
                }
                None => {
                    assert!(judge.least > task.most, "{what} {}", judge.least);
                    none += 1;
                }
            }
        }
        // a test of misses alone would show nothing
        assert!(served >= SHELVES / 2, "{}: {served}", topology.name());
        some += served;
    }
    assert!(none > 0, "{some} shelves served, none did not");
}
