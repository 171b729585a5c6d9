//! How long ten thousand variants of a whole four-stage box take at two hundred frequencies.
//!
//! `cargo bench -p circuit --bench variants`. The promise is 150 ms on two cores. Real operations
//! of one variant at one frequency are counted, so that the time can be held against what the
//! processor could do at best.

use circuit::Circuit;
use circuit::system::System;
use circuit::variants::{Batch, Variants};
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use testkit::awkward::Stream;
use testkit::{four_stage_box, jfet_opamp};

fn main() {
    divan::main();
}

fn subject() -> Circuit {
    four_stage_box(&jfet_opamp())
}

/// Every resistor and capacitor within 5 % of its value.
fn invented(system: &System, count: usize) -> Variants {
    let varying: Vec<usize> = (0..system.parameters().len())
        .filter(|&k| system.parameters()[k].property.is_value())
        .collect();
    let mut variants = Variants::of(varying.clone());
    let mut stream = Stream::new(7);
    for _ in 0..count {
        let values: Vec<f64> = varying
            .iter()
            .map(|&k| system.parameters()[k].value * stream.between(0.95, 1.05))
            .collect();
        variants.push(&values).expect("sound values");
    }
    variants
}

/// From 200 Hz to 2 kHz.
fn frequencies() -> Vec<f64> {
    (0..200)
        .map(|k| 200.0 * 10_f64.powf(f64::from(k) / 200.0))
        .collect()
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
    let (variants, f_hz) = (invented(&system, 10_000), frequencies());
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
    let (variants, f_hz) = (invented(&system, 1), frequencies());
    bencher.bench_local(|| batch.sweep(black_box(&variants), &f_hz).redone);
}

#[divan::bench(sample_count = 10)]
fn slopes_of_a_thousand_at_two_hundred(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let (variants, f_hz) = (invented(&system, 1000), frequencies());
    bencher.bench_local(|| batch.slopes(black_box(&variants), &f_hz).redone);
}
