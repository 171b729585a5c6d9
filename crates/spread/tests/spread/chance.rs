//! Chance itself: marginals, likeness, and the same outcome on any number of threads.

use super::stage::{evaluate, lot};
use spread::{Judge, Law, Lot, Place, Stopped, Tally, Trials};

fn even_verdict(figures: &[f64]) -> u64 {
    u64::from(figures[0] > 700.0)
}

fn judge() -> Judge<'static> {
    Judge {
        figures: 2,
        evaluate: &evaluate,
        verdict: &even_verdict,
    }
}

fn run(lot: &Lot, seed: u64, count: u64) -> Tally {
    let trials = Trials {
        lot,
        treatments: &[],
        seed,
        count,
    };
    trials.run(&judge(), |_| true).expect("nobody stops it")
}

/// Physical invariant: bits do not depend on threads. 20 000 trials cross the edges of blocks and
/// waves, and the point from which values are counted in cells.
#[test]
fn the_same_bits_on_any_number_of_threads() {
    let lot = lot(0.05, 0.10, Law::Normal, 0.5);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.expect("a pool").install(|| run(&lot, 9, 20_000))
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(5));
    assert_ne!(one.passed, run(&lot, 10, 20_000).passed);
}

/// Builds asked for one by one are those of the whole run.
#[test]
fn a_trial_is_known_by_its_number() {
    let lot = lot(0.05, 0.10, Law::SortedOut, 0.3);
    let trials = Trials {
        lot: &lot,
        treatments: &[],
        seed: 4,
        count: 0,
    };
    let all = trials.builds(0..300);
    for k in 0..300 {
        assert_eq!(
            trials.builds(k..k + 1),
            all[5 * k as usize..5 * k as usize + 5]
        );
    }
}

/// Closed form: whatever the likeness, each part keeps its law. Kolmogorov's bound: of n draws the
/// greatest distance times √n passes 2.23 once in 10 000 (limiting distribution, from memory).
#[test]
fn every_part_keeps_its_law_whatever_the_likeness() {
    const N: u64 = 40_000;
    for law in Law::ALL {
        for alike in [0.0, 0.4, 0.9, 1.0] {
            let lot = lot(0.05, 0.10, law, alike);
            let trials = Trials {
                lot: &lot,
                treatments: &[],
                seed: 77,
                count: N,
            };
            let builds = trials.builds(0..N);
            for place in 0..5 {
                let tolerance = lot.places[place].tolerance;
                let mut x: Vec<f64> = builds
                    .chunks_exact(5)
                    .map(|row| (row[place] - 1.0) / tolerance)
                    .collect();
                x.sort_by(f64::total_cmp);
                let farthest = x.iter().enumerate().map(|(k, &x)| {
                    let (low, high) = (k as f64 / N as f64, (k + 1) as f64 / N as f64);
                    let u = law.cumulative(x);
                    (u - low).abs().max((u - high).abs())
                });
                let distance = farthest.fold(0.0, f64::max) * (N as f64).sqrt();
                assert!(
                    distance < 2.23,
                    "{law:?} alike {alike} place {place}: {distance}"
                );
                let square: f64 = x.iter().map(|x| x * x).sum::<f64>() / N as f64;
                let wanted = law.sigma().powi(2);
                // The variance of x² is under 0.1 for all three laws: five standard errors.
                assert!((square - wanted).abs() < 5.0 * (0.1 / N as f64).sqrt());
            }
        }
    }
}

/// Closed form: for uniform parts the correlation of values is (6/π) asin(ρ/2) [PEARSON1907; from
/// memory], and parts bought apart have none.
#[test]
fn parts_of_a_bag_are_as_alike_as_said() {
    const N: u64 = 100_000;
    for alike in [0.0, 0.25, 0.5, 0.8, 1.0] {
        let lot = lot(0.05, 0.10, Law::Uniform, alike);
        let trials = Trials {
            lot: &lot,
            treatments: &[],
            seed: 5,
            count: N,
        };
        let builds = trials.builds(0..N);
        let correlation = |a: usize, b: usize| {
            let of = |row: &[f64], k: usize| (row[k] - 1.0) / lot.places[k].tolerance;
            let sum: f64 = builds.chunks_exact(5).map(|r| of(r, a) * of(r, b)).sum();
            3.0 * sum / N as f64
        };
        let wanted = 6.0 / std::f64::consts::PI * (0.5 * alike).asin();
        let allowed = 5.0 / (N as f64).sqrt();
        assert!((correlation(3, 4) - wanted).abs() < allowed, "{alike}");
        assert!(correlation(0, 3).abs() < allowed);
    }
}

/// Closed form: one temperature for the box, even over its range, by each part's slope.
#[test]
fn temperature_moves_all_parts_together() {
    let place = |slope_per_kelvin: f64| Place {
        name: "C".to_owned(),
        nominal: 1e-8,
        tolerance: 0.0,
        law: Law::Uniform,
        bag: None,
        slope_per_kelvin,
    };
    let lot = Lot {
        places: vec![place(400e-6), place(-200e-6), place(0.0)],
        alike: Vec::new(),
        warmth_k: (-10.0, 20.0),
    };
    let trials = Trials {
        lot: &lot,
        treatments: &[],
        seed: 1,
        count: 0,
    };
    let builds = trials.builds(0..10_000);
    let kelvin: Vec<f64> = builds
        .chunks_exact(3)
        .map(|r| (r[0] - 1.0) / 400e-6)
        .collect();
    for (row, t) in builds.chunks_exact(3).zip(&kelvin) {
        assert!((row[1] - (1.0 - 200e-6 * t)).abs() < 1e-12 && (row[2] - 1.0).abs() < 1e-15);
        assert!((-10.0..=20.0).contains(t));
    }
    let mean = kelvin.iter().sum::<f64>() / 1e4;
    // An even spread of 30 K has a deviation of 8.66 K; five standard errors.
    assert!((mean - 5.0).abs() < 5.0 * 8.66 / 100.0);
}

/// Stopping is asked for between waves, and keeps nothing.
#[test]
fn a_run_can_be_stopped() {
    let lot = lot(0.05, 0.10, Law::Uniform, 0.0);
    let trials = Trials {
        lot: &lot,
        treatments: &[],
        seed: 1,
        count: 10_000_000_000,
    };
    let stopped = trials.run(&judge(), |done| done < 20_000);
    assert_eq!(stopped.err(), Some(Stopped { after: 24_576 }));
}
