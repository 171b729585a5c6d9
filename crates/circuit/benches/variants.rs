//! How long ten thousand variants of a whole four-stage box take at two hundred frequencies.
//!
//! `cargo bench -p circuit --bench variants`. The promise is 150 ms on two cores. Real operations
//! of one variant at one frequency are counted, so that the time can be held against what the
//! processor could do at best.

use circuit::Circuit;
use circuit::system::System;
use circuit::variants::Batch;
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use testkit::{built, decade, four_stage_box, jfet_opamp};

fn main() {
    divan::main();
}

fn subject() -> Circuit {
    four_stage_box(&jfet_opamp())
}

#[divan::bench]
fn record(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("equations");
    bencher.bench_local(|| Batch::new(black_box(&system), &[circuit.output], 700.0).is_ok());
}

/// The count is that of real operations, so that the rate printed is operations a second.
#[divan::bench(sample_count = 10)]
fn ten_thousand_at_two_hundred(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let (variants, f_hz) = (built(&system, 10_000), decade(200));
    let operations = batch.operations() * variants.len() * f_hz.len();
    bencher
        .counter(ItemsCount::new(operations))
        .bench_local(|| batch.sweep(black_box(&variants), &f_hz).redone);
}

#[divan::bench(sample_count = 10)]
fn one_at_two_hundred(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let (variants, f_hz) = (built(&system, 1), decade(200));
    bencher.bench_local(|| batch.sweep(black_box(&variants), &f_hz).redone);
}

#[divan::bench(sample_count = 10)]
fn slopes_of_a_thousand_at_two_hundred(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let (variants, f_hz) = (built(&system, 1000), decade(200));
    bencher.bench_local(|| batch.slopes(black_box(&variants), &f_hz).redone);
}
