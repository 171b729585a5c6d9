//! How long a user waits: the whole `plan` of the shipped need, and `check` and `spread` of its first
//! design.
//!
//! `cargo bench -p workshop --bench plan`. The promises: 2 s for the plan, 10 ms for the check,
//! reading the file included, writing text not.

use divan::{Bencher, black_box};
use std::sync::OnceLock;
use workshop::check::{CheckRequest, check};
use workshop::plan::{PlanRequest, plan};
use workshop::spread::{SpreadRequest, quick, spread};

const NEED: &str = include_str!("../../../examples/attic/need.toml");

const OLD_BOX: &str = include_str!("../../../examples/attic/old-box.toml");

fn main() {
    divan::main();
}

fn need() -> PlanRequest {
    PlanRequest {
        name: "need.toml".to_owned(),
        text: NEED.to_owned(),
        drawer: None,
    }
}

fn circuit(text: &str) -> CheckRequest {
    CheckRequest {
        name: "circuit.toml".to_owned(),
        text: text.to_owned(),
        pitch: None,
        speed: None,
        at: None,
    }
}

/// The first design of the plan, as it is written to its file; planned once.
fn first_design() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(|| {
        let outcome = plan(&need()).expect("the shipped need has designs");
        outcome.designs[0].circuit_toml.clone()
    })
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn plan_of_the_shipped_need(bencher: Bencher<'_, '_>) {
    let request = need();
    bencher.bench_local(|| {
        plan(black_box(&request))
            .expect("the shipped need has designs")
            .designs
            .len()
    });
}

#[divan::bench]
fn check_of_its_first_design(bencher: Bencher<'_, '_>) {
    let request = circuit(first_design());
    bencher.bench_local(|| check(black_box(&request)).expect("a sound circuit"));
}

#[divan::bench]
fn check_of_the_old_box(bencher: Bencher<'_, '_>) {
    let request = circuit(OLD_BOX);
    bencher.bench_local(|| check(black_box(&request)).expect("a sound circuit"));
}

/// Five thousand builds, as the command tries by itself.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn spread_of_its_first_design(bencher: Bencher<'_, '_>) {
    let request = SpreadRequest::of("circuit.toml", first_design());
    bencher.bench_local(|| spread(black_box(&request), |_| true).expect("a sound circuit"));
}

/// What `plan` says of each winner: the promise is 50 ms.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn outlook_of_its_first_design(bencher: Bencher<'_, '_>) {
    let request = SpreadRequest::of("circuit.toml", first_design());
    bencher.bench_local(|| quick(black_box(&request)).expect("a sound circuit"));
}
