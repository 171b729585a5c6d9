//! How long the exact search for part values takes, proof included.
//!
//! `cargo bench -p filter --bench values`. The published problems are those of [HORROCKS1993] and
//! [VURAL2012], R 1k..<1M, C 1n..<1u, one series for all parts or E96 resistors with E12 capacitors;
//! the band-passes are ours, gain 1, C 1n..<100n; and every topology stands once, with resistors of a
//! shop's E24 and E96.

use divan::{Bencher, black_box};
use filter::topology::Topology;
use filter::values::{Aim, Measure, Shelf, Task, Taste, Weights, search, search_loop};
use filter::{Section, Shape};
use parts::{OpampModel, Series};
use units::{Farads, Hertz, Ohms};

const SERIES: [Series; 3] = [Series::E12, Series::E24, Series::E96];

fn main() {
    divan::main();
}

/// R 1k..<1M; C 1n..<`to`.
fn shelf(resistors: Series, capacitors: Series, to: f64) -> Shelf {
    let below = 0.999_999;
    let resistors = resistors.values(Ohms(1e3), Ohms(1e6 * below));
    let capacitors = capacitors.values(Farads(1e-9), Farads(to * below));
    Shelf::new(
        resistors.iter().map(|v| v.0).collect(),
        capacitors.iter().map(|v| v.0).collect(),
    )
}

/// With ideal op-amps, where only the error counts.
fn task(topology: Topology, aim: Aim, shelf: &Shelf) -> Task<'_> {
    static IDEAL: std::sync::LazyLock<OpampModel> = std::sync::LazyLock::new(OpampModel::ideal);
    Task {
        topology,
        aim,
        shelf,
        taste: Taste::NONE,
        amplifier: &IDEAL,
        series: 0.0,
        most: 1.0,
        unequal: false,
    }
}

fn butterworth_on(bencher: Bencher<'_, '_>, shelf: &Shelf) {
    bencher.bench_local(|| {
        [1.0 / 0.7654, 1.0 / 1.8478].map(|q| {
            let aim = Aim::published_low_pass(1e4, q);
            search(&task(Topology::SallenKeyLowPass, aim, black_box(shelf)))
        })
    });
}

/// Fourth-order Butterworth: two unity-gain Sallen–Key stages, each of four parts.
#[divan::bench(args = SERIES, sample_count = 10)]
fn butterworth(bencher: Bencher<'_, '_>, series: Series) {
    butterworth_on(bencher, &shelf(series, series, 1e-6));
}

/// The same with resistors finer than the capacitors.
#[divan::bench(sample_count = 10)]
fn butterworth_of_e96_and_e12(bencher: Bencher<'_, '_>) {
    butterworth_on(bencher, &shelf(Series::E96, Series::E12, 1e-6));
}

/// State-variable low-pass: eight parts.
#[divan::bench(args = SERIES, sample_count = 10)]
fn state_variable(bencher: Bencher<'_, '_>, series: Series) {
    let shelf = shelf(series, series, 1e-6);
    bencher
        .bench_local(|| search_loop(&Aim::published_low_pass(1e4, 0.707), black_box(&shelf), 1.0));
}

fn equal_aim(section: Section, slack: f64) -> Aim {
    Aim {
        section,
        gain: 1.0,
        slack,
        weights: Weights::EQUAL,
        measure: Measure::Greatest,
    }
}

/// Multiple-feedback band-pass: pitch, Q, series of the resistors; capacitors of E12.
#[divan::bench(args = [
    (600.0, 4.0, Series::E24),
    (700.0, 4.0, Series::E24),
    (700.0, 4.0, Series::E96),
    (800.0, 8.0, Series::E24),
], sample_count = 10)]
fn band_pass(bencher: Bencher<'_, '_>, (f0, q, series): (f64, f64, Series)) {
    let shelf = shelf(series, Series::E12, 100e-9);
    let section = Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    };
    let aim = equal_aim(section, 1.0);
    let topology = Topology::MultipleFeedbackBandPass;
    bencher.bench_local(|| search(&task(topology, aim, black_box(&shelf))));
}

/// Every topology at 700 Hz and Q 2, E24 ∪ E96 with E12.
#[divan::bench(args = Topology::ALL, sample_count = 5)]
fn each(bencher: Bencher<'_, '_>, topology: Topology) {
    let shelf = shelf(Series::E24AndE96, Series::E12, 1e-6);
    let shapes = [
        Shape::BandPass,
        Shape::LowPass,
        Shape::HighPass,
        Shape::Notch { zero: Hertz(900.0) },
        Shape::Notch { zero: Hertz(700.0) },
        Shape::FirstLowPass,
        Shape::FirstHighPass,
    ];
    let section = shapes.map(|shape| Section {
        shape,
        f0: Hertz(700.0),
        q: 2.0,
    });
    let section = section.into_iter().find(|s| topology.makes(s));
    let section = section.expect("a shape for every topology");
    let forced = topology.forced_gain(&section).is_some();
    let aim = equal_aim(section, if forced { f64::INFINITY } else { 1.0 });
    bencher.bench_local(|| search(&task(topology, aim, black_box(&shelf))));
}
