//! How long the exact search for part values takes on the published problems, proof included.
//!
//! `cargo bench -p filter --bench values`. Both are those of [HORROCKS1993] and [VURAL2012], R 1k..<1M,
//! C 1n..<1u, one series for all parts.

use divan::{Bencher, black_box};
use filter::topology::Topology;
use filter::values::{Aim, Shelf, Task, Taste, search, search_loop};
use parts::{OpampModel, Series};
use units::{Farads, Ohms};

const SERIES: [Series; 3] = [Series::E12, Series::E24, Series::E96];

fn main() {
    divan::main();
}

fn shelf(series: Series) -> Shelf {
    let resistors = series.values(Ohms(1e3), Ohms(0.999_999e6));
    let capacitors = series.values(Farads(1e-9), Farads(0.999_999e-6));
    Shelf::new(
        resistors.iter().map(|v| v.0).collect(),
        capacitors.iter().map(|v| v.0).collect(),
    )
}

/// Fourth-order Butterworth: two unity-gain Sallen–Key stages, each of four parts.
#[divan::bench(args = SERIES, sample_count = 10)]
fn butterworth(bencher: Bencher<'_, '_>, series: Series) {
    let shelf = shelf(series);
    bencher.bench_local(|| {
        [1.0 / 0.7654, 1.0 / 1.8478].map(|q| {
            search(&Task {
                topology: Topology::SallenKeyLowPass,
                aim: Aim::published_low_pass(1e4, q),
                shelf: black_box(&shelf),
                taste: Taste::NONE,
                amplifier: &OpampModel::ideal(),
                series: 0.0,
                most: 1.0,
            })
        })
    });
}

/// State-variable low-pass: eight parts.
#[divan::bench(args = SERIES, sample_count = 10)]
fn state_variable(bencher: Bencher<'_, '_>, series: Series) {
    let shelf = shelf(series);
    bencher
        .bench_local(|| search_loop(&Aim::published_low_pass(1e4, 0.707), black_box(&shelf), 1.0));
}
