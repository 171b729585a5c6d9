//! The value search against exhaustive results (ours, recomputed and proven by full
//! enumeration outside this project) and against a brute-force judge.

mod doubles;
mod drawers;
mod exhaustive;
mod few;
mod published;

use super::{Aim, Found, Measure, Shelf, Task, Taste, Weights, search};
use crate::topology::Topology;
use crate::{Section, Shape};
use parts::OpampModel;
use units::Hertz;

const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6,
    6.2, 6.8, 7.5, 8.2, 9.1,
];

/// E96 by the rule of IEC 60063 [IEC-60063]: three figures of 10^(i/96).
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
        most: 1.0,
        unequal: false,
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
