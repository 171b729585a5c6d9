//! The value search against exhaustive results (CHECKS §11, ours, proven there by full
//! enumeration) and against a brute-force judge.

use super::{Aim, Found, Measure, Shelf, Task, Taste, Weights, search};
use crate::topology::{PlaceKind, Topology};
use crate::{Section, Shape};
use parts::OpampModel;
use units::Hertz;

const E6: [f64; 6] = [1.0, 1.5, 2.2, 3.3, 4.7, 6.8];
const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6,
    6.2, 6.8, 7.5, 8.2, 9.1,
];

/// E96 by the rule of IEC 60063 (CHECK 1.6): three figures of 10^(i/96).
fn e96() -> Vec<f64> {
    (0..96)
        .map(|i| (100.0 * 10f64.powf(f64::from(i) / 96.0)).round() / 100.0)
        .collect()
}

/// Values of a series over whole decades, `from` 10^decade.
fn decades(series: &[f64], from: i32, count: i32) -> Vec<f64> {
    let powers = from..from + count;
    powers
        .flat_map(|d| series.iter().map(move |v| v * 10f64.powi(d)))
        .collect()
}

fn band_pass(f0: f64, q: f64) -> Section {
    Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    }
}

/// The best values where only the error counts and the op-amp is ideal.
fn exact(topology: Topology, aim: Aim, shelf: &Shelf) -> Option<Found> {
    search(&Task {
        topology,
        aim,
        shelf,
        taste: Taste::NONE,
        amplifier: &OpampModel::ideal(),
        series: 0.0,
    })
}

fn equal_aim(section: Section) -> Aim {
    Aim {
        section,
        gain: 1.0,
        slack: 1.0,
        weights: Weights::EQUAL,
        measure: Measure::Greatest,
    }
}

/// CHECKS §11, multiple-feedback band-pass, gain 1, R 1k..<1M, C 1n..<100n.
#[test]
fn multiple_feedback_band_pass_optima() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let rows = [
        (600.0, 4.0, 0.7995),
        (700.0, 4.0, 0.4586),
        (800.0, 8.0, 0.5282),
    ];
    for (f0, q, percent) in rows {
        let aim = equal_aim(band_pass(f0, q));
        let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
        // half a unit of the last printed digit
        assert!(
            (100.0 * found.error - percent).abs() <= 0.5e-4,
            "{f0} {q}: {:?}",
            found
        );
    }
}

/// CHECKS §11: the 600 Hz optimum's own parts, 270k 4.3k 360k 3.9n 12n.
#[test]
fn the_600_hz_optimum_has_the_published_parts() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(600.0, 4.0));
    let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
    let published = [3.9e-9, 12e-9, 360e3, 270e3, 4.3e3];
    for (value, wanted) in found.values.iter().zip(published) {
        assert!((value / wanted - 1.0).abs() < 1e-9, "{:?}", found.values);
    }
}

/// CHECKS §11: 700 Hz, Q 4 with C1 = C2, one capacitor value at a time.
#[test]
fn equal_capacitors_do_worse() {
    let aim = equal_aim(band_pass(700.0, 4.0));
    let least = decades(&E12, -9, 2)
        .into_iter()
        .filter_map(|c| {
            let shelf = Shelf::new(decades(&E24, 3, 3), vec![c]);
            exact(Topology::MultipleFeedbackBandPass, aim, &shelf)
        })
        .map(|found| found.error)
        .fold(f64::INFINITY, f64::min);
    assert!((100.0 * least - 0.6969).abs() <= 0.5e-4, "{least}");
}

/// CHECKS §11: 700 Hz, Q 4, resistors of E96.
#[test]
fn e96_resistors_do_better() {
    let shelf = Shelf::new(decades(&e96(), 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(700.0, 4.0));
    let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
    assert!((100.0 * found.error - 0.1324).abs() <= 0.5e-4, "{found:?}");
}

/// Slow judge: every combination of a small shelf, with and without taste and a slow op-amp.
#[test]
fn nothing_on_the_shelf_is_better() {
    let shelf = Shelf::new(decades(&E12, 3, 3), decades(&E6, -9, 2));
    let topology = Topology::MultipleFeedbackBandPass;
    let amplifier = OpampModel {
        dc_gain: 1e5,
        gain_bandwidth: Hertz(0.7e6),
        ..OpampModel::ideal()
    };
    for (section, slack) in [(band_pass(650.0, 4.0), 1.4), (band_pass(500.0, 1.3), 1.0)] {
        let aim = Aim::response(section, 1.0, slack);
        let task = Task {
            topology,
            aim,
            shelf: &shelf,
            taste: Taste::BENCH,
            amplifier: &amplifier,
            series: 0.0,
        };
        let found = search(&task).unwrap();
        let least = least_by_trial(topology, &aim, &shelf, &amplifier);
        assert!((found.cost - least).abs() < 1e-12, "{} {least}", found.cost);
        assert!(found.proof.visited < 200_000, "{:?}", found.proof);
    }
}

fn least_by_trial(topology: Topology, aim: &Aim, shelf: &Shelf, amplifier: &OpampModel) -> f64 {
    let (r, c) = (
        shelf.all(PlaceKind::Resistor),
        shelf.all(PlaceKind::Capacitor),
    );
    let mut least = f64::INFINITY;
    for &c1 in c {
        for &c2 in c {
            let aim = aim.against(topology.drift(&aim.section, aim.gain, &[c1, c2], amplifier));
            for &r3 in r {
                for &r1 in r {
                    for &r2 in r {
                        let v = [c1, c2, r3, r1, r2];
                        let kinds = topology.places().iter().map(|p| p.kind);
                        let awkward: f64 = kinds.zip(v).map(|(k, x)| Taste::BENCH.of(k, x)).sum();
                        let error = aim.cost(&topology.reached(&v));
                        least = least.min(error.max(Taste::BENCH.indifference) + awkward);
                    }
                }
            }
        }
    }
    least
}
