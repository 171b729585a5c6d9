//! How long the analyses of `check` take on a whole four-stage box with full amplifier models.
//!
//! `cargo bench -p circuit --bench check`. The promise is 10 ms for all of them together.

use circuit::Circuit;
use circuit::ac::Solver;
use circuit::figures::Study;
use circuit::noise::Band;
use circuit::state_space::StateSpace;
use circuit::system::System;
use divan::{Bencher, black_box};
use testkit::{four_stage_box, jfet_opamp};

fn main() {
    divan::main();
}

fn subject() -> Circuit {
    four_stage_box(&jfet_opamp())
}

/// Everything of the small-signal part of `check`.
#[divan::bench]
fn everything(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let at: Vec<f64> = (0..200)
        .map(|k| 200.0 * 10_f64.powf(f64::from(k) / 200.0))
        .collect();
    bencher.bench_local(|| {
        let system = System::build(black_box(&circuit)).expect("a sound circuit");
        let mut study = Study::new(&circuit, &system).expect("a solution");
        let response = study.response(700.0, &at);
        let neighbours = study.neighbours(700.0, &[-350.0, 350.0]);
        let ringing = study.ringing(700.0, 22.0, &neighbours);
        let levels = study.levels(700.0, |_| 3.0);
        let noise = study.noise(700.0, Band::default());
        let listener = study.listener(700.0, (300.0, 2700.0));
        let zeros = study.zeros();
        (
            response, neighbours, ringing, levels, noise, listener, zeros,
        )
    });
}

#[divan::bench]
fn build_and_reduce(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    bencher.bench_local(|| {
        let system = System::build(black_box(&circuit)).expect("a sound circuit");
        StateSpace::reduce(&system).expect("a reduction")
    });
}

#[divan::bench]
fn study_new(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("a sound circuit");
    bencher.bench_local(|| {
        Study::new(black_box(&circuit), &system)
            .expect("a solution")
            .poles()
            .len()
    });
}

#[divan::bench]
fn elimination_order(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("a sound circuit");
    bencher.bench_local(|| {
        Solver::new(black_box(&system))
            .expect("an order")
            .system()
            .size()
    });
}

#[divan::bench]
fn one_frequency(bencher: Bencher<'_, '_>) {
    let circuit = subject();
    let system = System::build(&circuit).expect("a sound circuit");
    let mut solver = Solver::new(&system).expect("an order");
    bencher.bench_local(|| solver.transfer(black_box(700.0), circuit.output));
}

fn with_study<T>(bencher: Bencher<'_, '_>, ask: impl Fn(&mut Study<'_>) -> T) {
    let circuit = subject();
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    bencher.bench_local(|| ask(black_box(&mut study)));
}

#[divan::bench]
fn response(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.response(700.0, &[]));
}

#[divan::bench]
fn ringing(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.ringing(700.0, 22.0, &[]));
}

#[divan::bench]
fn levels(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.levels(700.0, |_| 3.0));
}

#[divan::bench]
fn noise(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.noise(700.0, Band::default()));
}

#[divan::bench]
fn listener(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.listener(700.0, (300.0, 2700.0)));
}

#[divan::bench]
fn zeros(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.zeros().expect("zeros").len());
}

#[divan::bench]
fn sensitivities(bencher: Bencher<'_, '_>) {
    with_study(bencher, |study| study.sensitivities(700.0));
}
