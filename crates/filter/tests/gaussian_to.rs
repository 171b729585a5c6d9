//! Gaussian to 6 and 12 dB: poles in print (from memory of [ZVEREV] and [WILLIAMS]), how far they
//! depart from the bell, and how far ours do.

use filter::approximation::{Prototype, gaussian_to};
use num_complex::Complex64;

/// Decibels of the bell at 1 rad/s.
const BELL_DB: f64 = 3.010_299_956_639_812;

/// Order, pairs −σ ± jω by rising ω, real pole, printed departure from the bell (dB).
type Row = (usize, &'static [(f64, f64)], Option<f64>, f64);

const TO_12: [Row; 5] = [
    (3, &[(0.9360, 1.2168)], Some(0.9630), 0.18),
    (4, &[(0.9192, 0.5560), (0.9278, 1.6995)], None, 0.10),
    (5, &[(0.8075, 0.9973), (0.7153, 2.0532)], Some(0.8131), 0.10),
    (
        6,
        &[(0.7019, 0.4322), (0.6667, 1.2931), (0.4479, 2.1363)],
        None,
        0.10,
    ),
    (
        7,
        &[(0.6155, 0.7703), (0.5486, 1.5154), (0.2905, 2.1486)],
        Some(0.6291),
        0.29,
    ),
];

const TO_6: [Row; 5] = [
    (3, &[(0.9622, 1.2214)], Some(0.9776), 0.09),
    (4, &[(0.7940, 0.5029), (0.6304, 1.5407)], None, 0.10),
    (5, &[(0.6190, 0.8254), (0.3559, 1.5688)], Some(0.6650), 0.14),
    (
        6,
        &[(0.5433, 0.3431), (0.4672, 0.9991), (0.2204, 1.5067)],
        None,
        0.13,
    ),
    (
        7,
        &[(0.4580, 0.5932), (0.3649, 1.1286), (0.1522, 1.4938)],
        Some(0.4828),
        0.10,
    ),
];

fn check(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected} within {tolerance}"
    );
}

fn rows() -> impl Iterator<Item = (f64, Row)> {
    let with = |level: f64, rows: [Row; 5]| rows.into_iter().map(move |row| (level, row));
    with(12.0, TO_12).chain(with(6.0, TO_6))
}

fn printed(pairs: &[(f64, f64)], real: Option<f64>) -> Prototype {
    let pairs = pairs.iter().map(|&(re, im)| Complex64::new(-re, im));
    Prototype::new(pairs.collect(), real.map(|p| -p).into_iter().collect())
}

/// Greatest departure from `3.0103 ω²` dB at `stretch·ω`, up to `ω = edge`.
fn departure(p: &Prototype, edge: f64, stretch: f64) -> f64 {
    (1..=2000)
        .map(|k| edge * f64::from(k) / 2000.0)
        .map(|w| (p.attenuation_db(stretch * w) - BELL_DB * w * w).abs())
        .fold(0.0, f64::max)
}

/// Published poles (from memory): 3.0103 dB at 1.000 ± 0.0001 rad/s, and each row's departure from
/// the bell until the attenuation reaches the level (recomputed).
#[test]
fn poles_in_print_depart_by_what_is_said() {
    for (level_db, (n, pairs, real, expected)) in rows() {
        let p = printed(pairs, real);
        let what = format!("{n} to {level_db} dB");
        check(&what, p.last_crossing(BELL_DB), 1.0, 1e-4);
        let edge = p.last_crossing(level_db);
        check(&what, departure(&p, edge, 1.0), expected, 0.006);
    }
}

/// Ours, chosen by a rule of our own: exactly 3.0103 dB at 1 rad/s, and within four per cent of the
/// poles in print.
#[test]
fn ours_come_near_print() {
    for (level_db, (n, pairs, real, _)) in rows() {
        let ours = gaussian_to(n, level_db).expect("an order in the table");
        let what = format!("{n} to {level_db} dB");
        check(&what, ours.attenuation_db(1.0), BELL_DB, 1e-9);
        let print = printed(pairs, real);
        for (a, b) in ours.poles().iter().zip(print.poles()) {
            assert!((a - b).norm() < 0.04 * b.norm(), "{what}: {a} for {b}");
        }
    }
}

/// Invariant: at a scale of its own a bell keeps to its promised departure between the points
/// looked at, too. Reference library: for order 8 to 6 dB sequential quadratic programming
/// [SCIPY] reaches ln Π|p| = −0.6084 and not less; a search that stops at a kink had −0.593.
#[test]
fn a_bell_departs_no_more_than_promised() {
    for level_db in [6.0, 12.0] {
        let edge = f64::sqrt(level_db / 3.010_299_956_6);
        for order in 3..=8 {
            let p = gaussian_to(order, level_db).unwrap();
            let departs = |scale: f64| {
                (1..=400)
                    .map(|k| edge * f64::from(k) / 400.0)
                    .map(|w| (p.attenuation_db(w / scale) - 3.010_299_956_6 * w * w).abs())
                    .fold(0.0, f64::max)
            };
            let (scale, worst) = numeric::brent_minimum(departs, 0.97, 1.03, 1e-9);
            // A third order cannot follow to 12 dB any nearer than 0.0835 dB.
            let most = if (order, level_db) == (3, 12.0) {
                0.0836
            } else {
                0.0601
            };
            assert!(
                worst < most,
                "{order} to {level_db} dB departs by {worst} dB"
            );
            if (order, level_db) == (8, 6.0) {
                let nepers: f64 = p.poles().iter().map(|p| (scale * p.norm()).ln()).sum();
                check("ln Π|p|", nepers, -0.6084, 1e-3);
            }
        }
    }
}
