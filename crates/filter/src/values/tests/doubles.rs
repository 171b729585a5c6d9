//! Places of two parts: closed forms, a slow judge, and what they bring to our own problems.

use super::{E12, E24, band_pass, decades, equal_aim};
use crate::topology::{PlaceKind, Rule, Topology};
use crate::values::{
    Aim, Compound, Doubled, Extent, Joint, Pairs, Shelf, Step, Task, Taste, doubling, hidden,
    may_pay, paying,
};
use crate::{Section, Shape};
use parts::OpampModel;
use std::f64::consts::TAU;
use units::{Hertz, Ratio};

const BOTH: Pairs = Pairs {
    resistors: true,
    capacitors: true,
};

/// Runs `look` with a task for ideal op-amps where only the error counts.
fn with_task<T>(
    topology: Topology,
    aim: Aim,
    shelf: &Shelf,
    look: impl FnOnce(&Task<'_>) -> T,
) -> T {
    look(&Task {
        topology,
        aim,
        shelf,
        taste: Taste::NONE,
        amplifier: &OpampModel::ideal(),
        series: 0.0,
        most: 1.0,
        unequal: false,
    })
}

/// Closed form: sums and parallels of three resistors, those left out that one part gives.
#[test]
fn compounds_of_a_shelf() {
    let shelf = Shelf::new(vec![10e3, 20e3, 30e3], vec![1e-9, 2e-9]);
    let of = |kind| -> Vec<f64> {
        let all = Compound::of(&shelf, kind);
        all.iter().map(Compound::value).collect()
    };
    let close = |found: &[f64], wanted: &[f64]| {
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        for (found, wanted) in found.iter().zip(wanted) {
            assert!((found / wanted - 1.0).abs() < 1e-12, "{found} {wanted}");
        }
    };
    // 10∥10, 10∥20, 10∥30, 20∥30, 30∥30, 10+30 (also 20+20), 20+30, 30+30; 20∥20, 10+10, 10+20 are single
    close(
        &of(PlaceKind::Resistor),
        &[5e3, 20e3 / 3.0, 7.5e3, 12e3, 15e3, 40e3, 50e3, 60e3],
    );
    // 1+1 is single
    close(&of(PlaceKind::Capacitor), &[3e-9, 4e-9]);
    let forty = Compound::of(&shelf, PlaceKind::Resistor)[5];
    assert_eq!(forty.parts.map(f64::to_bits), [20e3_f64.to_bits(); 2]);
    assert_eq!(forty.to_string(), "20 kΩ and 20 kΩ in series");
    assert_eq!(forty.joint, Joint::Series);
}

/// Least cost with at most so many added parts, by looking at everything.
struct Judge<'a> {
    task: &'a Task<'a>,
    lists: [Vec<f64>; 2],
    added: usize,
    least: f64,
}

impl Judge<'_> {
    fn look(&mut self, chosen: &mut Vec<f64>, added: usize) {
        if added > self.added {
            return;
        }
        let (task, topology) = (self.task, self.task.topology);
        let Some(place) = topology.places().get(chosen.len()) else {
            let cost = task.aim.cost(&topology.reached(chosen));
            self.least = self.least.min(cost);
            return;
        };
        let number = usize::from(place.kind == PlaceKind::Capacitor);
        let (low, high) = place.design.range(TAU * task.aim.section.f0.0, chosen);
        let (values, free) = match place.rule.released(false) {
            Rule::Free => (self.lists[number].clone(), true),
            Rule::Same(k) | Rule::Tied(k) => (vec![chosen[k]], false),
            Rule::Near(near) => (vec![task.shelf.nearest(place.kind, near).unwrap()], false),
        };
        for value in values {
            if free && !(low * (1.0 - 1e-12)..=high * (1.0 + 1e-12)).contains(&value) {
                continue;
            }
            let single = task.shelf.all(place.kind).contains(&value);
            chosen.push(value);
            self.look(chosen, added + usize::from(!single));
            chosen.pop();
        }
    }
}

/// Slow judge: every stage of singles and compounds, counted part by part, on shelves so small that
/// compounds matter; a ring whose two capacitors are one value pays two parts for a compound there.
#[test]
fn up_to_two_added_parts_nothing_is_better() {
    let shelf = Shelf::new(vec![10e3, 15e3, 47e3, 150e3], vec![4.7e-9, 15e-9]);
    let low = Section {
        shape: Shape::LowPass,
        ..band_pass(900.0, 1.1)
    };
    for (topology, section) in [
        (Topology::MultipleFeedbackBandPass, band_pass(700.0, 1.7)),
        (Topology::SallenKeyLowPass, low),
        (Topology::MultipleFeedbackLowPass, low),
        (Topology::RingBandPass, band_pass(650.0, 2.2)),
    ] {
        let mut aim = equal_aim(section);
        aim.slack = 1.3;
        with_task(topology, aim, &shelf, |task| {
            let steps = doubling(task, BOTH, Extent::of(2));
            for added in 0..=2 {
                let list = |kind| {
                    let compounds = Compound::of(&shelf, kind);
                    let values = compounds.iter().map(Compound::value);
                    shelf.all(kind).iter().copied().chain(values).collect()
                };
                let mut judge = Judge {
                    task,
                    lists: [PlaceKind::Resistor, PlaceKind::Capacitor].map(list),
                    added,
                    least: f64::INFINITY,
                };
                judge.look(&mut Vec::new(), 0);
                let step = steps.iter().rfind(|s| s.added <= added).unwrap();
                let (found, least) = (step.found.error, judge.least);
                assert!(step.exact);
                assert!(
                    (found - least).abs() <= 1e-9 * least,
                    "{} {added} {found} {least}",
                    topology.name()
                );
                assert!(step.doubled.len() <= added);
            }
        });
    }
}

/// Two routes: what stands in the places is what the compounds give, and each step is better than the
/// one before; a third part is offered, and not called proven.
#[test]
fn the_frontier_falls() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(700.0, 4.0));
    let steps = with_task(Topology::MultipleFeedbackBandPass, aim, &shelf, |task| {
        doubling(task, BOTH, Extent::of(3))
    });
    assert!((100.0 * steps[0].found.error - 0.4586).abs() <= 0.5e-4);
    for pair in steps.windows(2) {
        assert!(pair[1].found.error < pair[0].found.error);
        assert!(pair[1].added > pair[0].added);
    }
    for step in &steps {
        assert_eq!(step.exact, step.added <= 2);
        for Doubled { place, compound } in &step.doubled {
            let off = compound.value() / step.found.values[*place] - 1.0;
            assert!(off.abs() < 1e-9, "{step:?}");
        }
    }
    assert!(steps.len() >= 3, "{steps:?}");
    // broken off, a frontier is still true and no longer called exact; it ends where nothing pays
    let extent = |hidden, effort| Extent {
        most: 2,
        hidden,
        effort,
    };
    let followed = |extent| {
        with_task(Topology::MultipleFeedbackBandPass, aim, &shelf, |task| {
            doubling(task, BOTH, extent)
        })
    };
    let short = followed(extent(0.0, 3000));
    assert!(
        short[0].exact && short.iter().skip(1).all(|s| !s.exact),
        "{short:?}"
    );
    assert_eq!(followed(extent(0.02, 30_000_000)).len(), 1);
}

/// Closed form: a multiple-feedback band-pass moves by half of what each capacitor and R3 do, and not
/// in Q for equal capacitors, so its f0 spreads by `t/√3·√½` from capacitors alone, weighed with 2Q.
#[test]
fn what_tolerances_hide() {
    let shelf = Shelf::new(vec![], vec![]);
    let aim = Aim::response(band_pass(700.0, 4.0), 1.0, 1.0);
    let topology = Topology::MultipleFeedbackBandPass;
    let values = topology.ideal(&aim.section, 1.0, &[10e-9, 10e-9]).unwrap();
    let found = with_task(topology, aim, &shelf, |task| {
        hidden(task, &values, Ratio(0.0), Ratio(0.05))
    });
    let wanted = 8.0 * 0.05 / 3f64.sqrt() * 0.5f64.sqrt();
    assert!((found / wanted - 1.0).abs() < 1e-12, "{found} {wanted}");
    // 16 % hides an error of half a per cent, 1 % parts would not hide one of two
    assert!(!may_pay(0.005, found) && may_pay(0.02, 0.01));
}

/// Closed form of the rule: an added part is taken where the rms falls by a tenth for each of them.
#[test]
fn what_pays() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(700.0, 4.0));
    let steps: Vec<Step> = with_task(Topology::MultipleFeedbackBandPass, aim, &shelf, |task| {
        doubling(task, BOTH, Extent::of(2))
    });
    let taken = |spread| paying(&steps, spread).unwrap().added;
    assert_eq!(taken(0.0), 2);
    assert_eq!(taken(0.05), 0);
    // one that hides nearly all: √(e² + s²) falls by less than a tenth
    let least = steps[0].found.error * 0.9 / (1.0f64 - 0.81).sqrt();
    assert_eq!(taken(1.01 * least), 0);
    assert!(!may_pay(steps[0].found.error, 2.1 * least));
    assert_eq!(paying(&[], 0.1), None);
}

/// Where the task finds nothing of single parts, there is no frontier; where no kind may be doubled,
/// one step.
#[test]
fn without_pairs_there_is_one_step() {
    let shelf = Shelf::new(decades(&E12, 3, 3), decades(&E12, -9, 2));
    let section = Section {
        f0: Hertz(700.0),
        ..band_pass(700.0, 4.0)
    };
    let topology = Topology::MultipleFeedbackBandPass;
    let steps = with_task(topology, equal_aim(section), &shelf, |task| {
        doubling(task, Pairs::default(), Extent::of(3))
    });
    assert_eq!(steps.len(), 1);
    let none = with_task(
        topology,
        equal_aim(section),
        &Shelf::new(vec![], vec![]),
        |task| doubling(task, BOTH, Extent::of(3)),
    );
    assert_eq!(none, []);
}
