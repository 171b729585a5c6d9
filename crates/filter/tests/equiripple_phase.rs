//! Equiripple-phase prototypes against the printed tables.

use filter::approximation::{Prototype, equiripple_phase};

/// Published tables ([ZVEREV]; from memory), each entry recomputed elsewhere by solving the equal-ripple
/// equations: upper poles by rising imaginary part, then the real pole.
type Row = (usize, &'static [(f64, f64)], Option<f64>);

const AT_0_05: [Row; 7] = [
    (2, &[(1.0087, 0.6680)], None),
    (3, &[(0.8541, 1.0725)], Some(1.0459)),
    (4, &[(0.9648, 0.4748), (0.7448, 1.4008)], None),
    // The real pole is printed .9430; the equations give .9429.
    (5, &[(0.8915, 0.8733), (0.6731, 1.7085)], Some(0.9429)),
    (
        6,
        &[(0.8904, 0.4111), (0.8233, 1.2179), (0.6152, 1.9810)],
        None,
    ),
    (
        7,
        &[(0.8425, 0.7791), (0.7708, 1.5351), (0.5727, 2.2456)],
        Some(0.8615),
    ),
    (
        8,
        &[
            (0.8195, 0.3711),
            (0.7930, 1.1054),
            (0.7213, 1.8134),
            (0.5341, 2.4761),
        ],
        None,
    ),
];

const AT_0_5: [Row; 7] = [
    (2, &[(0.8590, 0.6981)], None),
    (3, &[(0.6969, 1.1318)], Some(0.8257)),
    (4, &[(0.7448, 0.5133), (0.6037, 1.4983)], None),
    (5, &[(0.6775, 0.9401), (0.5412, 1.8256)], Some(0.7056)),
    (
        6,
        &[(0.6519, 0.4374), (0.6167, 1.2963), (0.4893, 2.0982)],
        None,
    ),
    // The middle pair is printed at 1.6455; the equations give 1.6453.
    (
        7,
        &[(0.6190, 0.8338), (0.5816, 1.6453), (0.4598, 2.3994)],
        Some(0.6283),
    ),
    // The last pair is printed with .4148, an error for .4184.
    (
        8,
        &[
            (0.5791, 0.3857),
            (0.5665, 1.1505),
            (0.5303, 1.8914),
            (0.4184, 2.5780),
        ],
        None,
    ),
];

/// One unit of the last printed digit.
const PRINTED: f64 = 1.01e-4;

fn check(prototype: &Prototype, row: &Row) {
    let (order, pairs, real) = row;
    assert_eq!(prototype.order(), *order);
    for (p, (sigma, omega)) in prototype.pairs().iter().zip(*pairs) {
        assert!(
            (-p.re - sigma).abs() < PRINTED,
            "{order}: {p} printed {sigma}, {omega}"
        );
        assert!(
            (p.im - omega).abs() < PRINTED,
            "{order}: {p} printed {sigma}, {omega}"
        );
    }
    for (p, sigma) in prototype.real().iter().zip(real) {
        assert!((-p - sigma).abs() < PRINTED, "{order}: {p} printed {sigma}");
    }
}

#[test]
fn printed_poles() {
    for row in &AT_0_05 {
        check(&equiripple_phase(row.0, 0.05).unwrap(), row);
    }
    for row in &AT_0_5 {
        check(&equiripple_phase(row.0, 0.5).unwrap(), row);
    }
}

/// Physical invariant: the phase departs from a straight line by the stated error, in turn,
/// as often as the order says; the slope of that line is the delay in the table beside it.
#[test]
fn ripple_is_equal_and_delays_are_as_recomputed() {
    let delays_0_05 = [1.3852, 1.8584, 2.2671, 2.5979, 2.9062, 3.1690, 3.4349];
    let delays_0_5 = [1.4496, 1.9480, 2.3383, 2.6653, 2.9876, 3.2089, 3.5496];
    for (error_deg, delays) in [(0.05, delays_0_05), (0.5, delays_0_5)] {
        for (order, delay) in (2..=8).zip(delays) {
            let p = equiripple_phase(order, error_deg).unwrap();
            assert!((p.attenuation_db(1.0) - 3.0103).abs() < 1e-4);
            let delta = f64::to_radians(error_deg);
            // The line: the printed delay is rounded, so the least swing near it is looked for.
            let mut best = (f64::INFINITY, 0.0, 0);
            for k in -40..=40 {
                let tau = delay + 5e-6 * f64::from(k);
                let (swing, turns) = swing(&p, tau);
                let off = (swing - delta).abs();
                if turns == order && off < best.0 {
                    best = (off, tau, turns);
                }
            }
            assert!(best.0 < 0.02 * delta, "{order} {error_deg}: {best:?}");
        }
    }
}

/// Greatest departure from `τω` up to the last extreme, and the number of extremes.
fn swing(p: &Prototype, tau: f64) -> (f64, usize) {
    let h = 1e-3;
    let e = |k: usize| p.lag(k as f64 * h) - tau * k as f64 * h;
    let mut turns = Vec::new();
    for k in 1..8000 {
        if (e(k) - e(k - 1)) * (e(k + 1) - e(k)) < 0.0 {
            turns.push(e(k).abs());
        }
    }
    (turns.iter().copied().fold(0.0, f64::max), turns.len())
}

/// The equations are solved for every order and error that is allowed.
#[test]
fn every_allowed_request_is_answered() {
    for order in 2..=10 {
        for error_deg in [0.01, 0.03, 0.1, 0.25, 0.7, 1.0] {
            let p = equiripple_phase(order, error_deg).unwrap_or_else(|e| panic!("{e}"));
            assert!((p.attenuation_db(1.0) - 10.0 * 2.0_f64.log10()).abs() < 1e-9);
        }
    }
    assert!(equiripple_phase(1, 0.5).is_err());
    assert!(equiripple_phase(11, 0.5).is_err());
    for bad in [0.0, -1.0, 2.0, f64::NAN] {
        assert!(equiripple_phase(4, bad).is_err());
    }
}
