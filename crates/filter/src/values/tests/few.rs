//! Few different values: slow judges, and what it costs on a real shelf.

use super::{E12, E24, band_pass, decades, equal_aim};
use crate::topology::{PlaceKind, Rule, Topology};
use crate::values::{Aim, Shelf, Task, Taste, different, fewest, shared_values};
use crate::{Section, Shape};
use parts::OpampModel;
use std::collections::BTreeMap;
use std::f64::consts::TAU;
use std::sync::LazyLock;

static IDEAL: LazyLock<OpampModel> = LazyLock::new(OpampModel::ideal);

fn task(topology: Topology, aim: Aim, shelf: &Shelf, most: f64) -> Task<'_> {
    Task {
        topology,
        aim,
        shelf,
        taste: Taste::NONE,
        amplifier: &IDEAL,
        series: 0.0,
        most,
        unequal: false,
    }
}

/// To the bit.
fn same(a: f64, b: f64) {
    assert_eq!(a.to_bits(), b.to_bits(), "{a} {b}");
}

/// Every combination of a stage with its cost.
fn everything(task: &Task<'_>) -> Vec<(Vec<f64>, f64)> {
    let mut partial: Vec<Vec<f64>> = vec![Vec::new()];
    for place in task.topology.places() {
        let mut longer = Vec::new();
        for chosen in partial {
            let (low, high) = place.design.range(TAU * task.aim.section.f0.0, &chosen);
            let values: Vec<f64> = match place.rule.released(task.unequal) {
                Rule::Same(k) | Rule::Tied(k) => vec![chosen[k]],
                Rule::Near(near) => vec![task.shelf.nearest(place.kind, near).unwrap()],
                Rule::Free => {
                    let all = task.shelf.all(place.kind).iter().copied();
                    all.filter(|v| (low * (1.0 - 1e-12)..=high * (1.0 + 1e-12)).contains(v))
                        .collect()
                }
            };
            longer.extend(
                values
                    .into_iter()
                    .map(|v| [chosen.as_slice(), &[v]].concat()),
            );
        }
        partial = longer;
    }
    let cost = |v: &Vec<f64>| task.aim.cost(&task.topology.reached(v));
    partial.into_iter().map(|v| (v.clone(), cost(&v))).collect()
}

/// Slow judge: for each number of values the least cost of all combinations that have no more.
#[test]
fn no_stage_of_so_few_values_is_better() {
    let shelf = Shelf::new(
        vec![10e3, 15e3, 22e3, 47e3, 68e3, 100e3, 150e3],
        vec![4.7e-9, 10e-9, 15e-9],
    );
    let low = Section {
        shape: Shape::LowPass,
        ..band_pass(900.0, 1.1)
    };
    for (topology, section) in [
        (Topology::MultipleFeedbackBandPass, band_pass(700.0, 1.7)),
        (Topology::SallenKeyLowPass, low),
        (Topology::RingBandPass, band_pass(650.0, 2.2)),
    ] {
        let mut aim = equal_aim(section);
        aim.slack = 1.5;
        let task = task(topology, aim, &shelf, 0.6);
        let all = everything(&task);
        let frontier = fewest(&task);
        assert!(!frontier.is_empty());
        for distinct in 1..=topology.places().len() {
            let few = all.iter().filter(|(v, _)| different(&task, v) <= distinct);
            let least = few.map(|(_, cost)| *cost).fold(f64::INFINITY, f64::min);
            let ours = frontier.iter().find(|f| f.distinct <= distinct);
            match ours {
                Some(step) => same(step.found.cost, least),
                None => assert!(least > task.most, "{} {distinct} {least}", topology.name()),
            }
        }
    }
}

/// Physical invariant: fewer values never cost less; a band-pass of 700 Hz and Q 4 can be made of three
/// different values or more, since its resistors must differ.
#[test]
fn fewer_values_cost_more() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(700.0, 4.0));
    let task = task(Topology::MultipleFeedbackBandPass, aim, &shelf, 0.1);
    let frontier = fewest(&task);
    assert!((100.0 * frontier[0].found.error - 0.4586).abs() <= 0.5e-4);
    for pair in frontier.windows(2) {
        assert!(pair[1].distinct < pair[0].distinct);
        assert!(pair[1].found.cost > pair[0].found.cost);
    }
    for step in &frontier {
        assert_eq!(step.distinct, different(&task, &step.found.values));
    }
    assert!(frontier.len() >= 2, "{frontier:?}");
}

/// Values of the shelf that a chain has, by bits.
fn bits(task: &Task<'_>, values: &[f64]) -> u64 {
    let places = task.topology.places().iter().zip(values);
    places.fold(0, |bits, (place, value)| {
        let all = task.shelf.all(place.kind);
        let at = all
            .iter()
            .position(|v| v.to_bits() == value.to_bits())
            .unwrap();
        let after = if place.kind == PlaceKind::Capacitor {
            32
        } else {
            0
        };
        bits | 1 << (after + at)
    })
}

/// Slow judge: every pair of stages within reach, number of values against the worse of the two.
#[test]
fn no_chain_of_so_few_values_is_better() {
    let shelf = Shelf::new(
        vec![4.7e3, 10e3, 15e3, 22e3, 47e3, 100e3, 150e3],
        vec![4.7e-9, 10e-9, 15e-9],
    );
    let aim = |f0, q| {
        let mut aim = equal_aim(band_pass(f0, q));
        aim.slack = 1.5;
        aim
    };
    let topology = Topology::MultipleFeedbackBandPass;
    let tasks = [(680.0, 1.7), (860.0, 2.1)].map(|(f0, q)| task(topology, aim(f0, q), &shelf, 0.9));
    let tolerated = 0.3;
    let shared = shared_values(&tasks, tolerated);
    assert!(shared.reach >= tolerated, "{}", shared.reach);
    let within = |task: &Task<'_>| -> Vec<(u64, f64)> {
        let all = everything(task)
            .into_iter()
            .filter(|(_, cost)| *cost <= tolerated);
        all.map(|(v, cost)| (bits(task, &v), cost)).collect()
    };
    let mut least: BTreeMap<u32, f64> = BTreeMap::new();
    let second = within(&tasks[1]);
    for (a, cost) in within(&tasks[0]) {
        for (b, other) in &second {
            let entry = least.entry((a | b).count_ones()).or_insert(f64::INFINITY);
            *entry = entry.min(cost.max(*other));
        }
    }
    for distinct in 1..=10 {
        let judge = least.range(..=distinct).map(|(_, cost)| *cost);
        let judge = judge.fold(f64::INFINITY, f64::min);
        let ours = shared
            .steps
            .iter()
            .find(|s| s.distinct <= distinct as usize);
        match ours {
            Some(step) => same(step.cost, judge),
            None => assert!(judge.is_infinite(), "{distinct}"),
        }
    }
    for step in &shared.steps {
        assert!(step.exact);
        let union = (tasks.iter().zip(&step.stages)).map(|(t, f)| bits(t, &f.values));
        let union = union.fold(0, |a, b| a | b);
        assert_eq!(union.count_ones() as usize, step.distinct);
        let worst = step.stages.iter().map(|s| s.cost).fold(0.0, f64::max);
        same(worst, step.cost);
    }
    assert!(shared.steps.len() >= 3, "{:?}", shared.steps);
}

/// A real chain: four band-passes on a builder's shelf share values within 3 % of response.
#[test]
fn a_chain_shares_values() {
    let shelf = Shelf::new(
        decades(&E24, 3, 3),
        decades(&[1.0, 1.5, 2.2, 3.3, 4.7, 6.8], -9, 2),
    );
    let topology = Topology::MultipleFeedbackBandPass;
    let stages = [(610.0, 6.0), (640.0, 4.5), (665.0, 4.5), (700.0, 6.0)];
    let tasks = stages.map(|(f0, q)| {
        task(
            topology,
            Aim::response(band_pass(f0, q), 1.0, 1.4),
            &shelf,
            0.2,
        )
    });
    let shared = shared_values(&tasks, 0.1);
    let (first, last) = (&shared.steps[0], shared.steps.last().unwrap());
    assert!(last.distinct < first.distinct && last.cost > first.cost);
    assert!(last.cost <= 0.1 && first.stages.len() == 4);
    // all of it proven: within a tenth there are few enough combinations to look at them all
    assert!(shared.reach >= 0.1 && shared.steps.iter().all(|s| s.exact));
}
