//! Calm filters of the low-pass equivalent: least `D·T`, free of scale.
//!
//! `D` is the offset from which on the rejection is at least `R`, `T` the time from
//! key-up to the envelope's last crossing of the tail level. [`least_product`] searches
//! poles and, when asked, pairs of nulls from many starts; [`product`] judges any filter.
//! The search finds, it does not prove: what is proven stands in `bound`.

use num_complex::Complex64;
use numeric::{SplitMix, minimax};
use rayon::prelude::*;

use super::plant::Plant;
use super::search::{CalmProblem, NEPERS, Slopes, StopEdge};
use crate::approximation::{ChebyshevEdge, Prototype, bessel, butterworth, chebyshev};
use crate::bandpass::Rational;

/// What is asked of a calm low-pass equivalent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EquivalentAim {
    /// Number of poles, 2 to 8.
    pub poles: usize,
    /// Number of pairs of nulls, at most `(poles − 1)/2`.
    pub notches: usize,
    /// Rejection from `D` outwards, dB.
    pub rejection_db: f64,
    /// Level that ends the tail, dB below settled.
    pub tail_db: f64,
    /// Whether the envelope must then go on falling 20 dB per tail (until three tails
    /// after key-up) instead of only staying under the level.
    pub falling: bool,
}

/// A calm low-pass equivalent, scaled to `D` = 1 Hz.
#[derive(Debug, Clone, PartialEq)]
pub struct Equivalent {
    /// What it was asked.
    pub aim: EquivalentAim,
    /// The poles, rad/s.
    pub poles: Prototype,
    /// Nulls above zero frequency, rad/s.
    pub nulls: Vec<f64>,
    /// `D·T` reached.
    pub product: f64,
    /// Surveys spent on all starts.
    pub surveys: usize,
}

/// Surveys allowed to each start, and to the polish of the best.
const FIRST_LOOK: usize = 120;
const POLISH: usize = 1500;

/// Held back from every wish so that rounding cannot make a lobe cross, nepers.
const HAIR: f64 = 1e-5;

/// The offset of rejection `rejection_db` times the tail to `tail_db`, for a filter
/// heard at zero frequency; the tail is the last crossing, or with `falling` the least
/// time after which the envelope also goes on falling 20 dB per tail.
#[must_use]
pub fn product(filter: &Rational, rejection_db: f64, tail_db: f64, falling: bool) -> f64 {
    let level = 10.0_f64.powf(-tail_db / 20.0);
    let keyed = filter.keyed();
    let tail = if falling {
        keyed.falling_tail(level, std::f64::consts::LN_10)
    } else {
        keyed.tail(level)
    };
    stop_from(filter, rejection_db) * tail / std::f64::consts::TAU
}

/// The frequency from which on the filter stays `rejection_db` down, rad per unit of time.
#[must_use]
pub fn stop_from(filter: &Rational, rejection_db: f64) -> f64 {
    let widest = filter
        .poles()
        .iter()
        .chain(filter.zeros())
        .map(|p| p.norm())
        .fold(0.0, f64::max);
    let above = |w: f64| filter.down_db(w) < rejection_db;
    let excess = (filter.poles().len() - filter.zeros().len()).max(1) as f64;
    let mut outside = widest * 10.0_f64.powf(0.6 + rejection_db / (20.0 * excess));
    let mut inside = outside;
    while inside > 1e-4 * widest {
        inside /= 1.002;
        if above(inside) {
            break;
        }
        outside = inside;
    }
    for _ in 0..60 {
        let middle = 0.5 * (inside + outside);
        if above(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    0.5 * (inside + outside)
}

/// Searches for the least `D·T` from `random_starts` seeded starts besides the known
/// families and `kin`: results with as many poles or fewer, which get fast poles and
/// far nulls added.
#[must_use]
pub fn least_product(aim: EquivalentAim, random_starts: usize, kin: &[Equivalent]) -> Equivalent {
    assert!((2..=8).contains(&aim.poles), "{} poles", aim.poles);
    assert!(
        2 * aim.notches < aim.poles,
        "{} pairs of nulls",
        aim.notches
    );
    let problem = problem_of(aim);
    let mut starts: Vec<Vec<f64>> = starts(aim, random_starts);
    starts.extend(kin.iter().filter_map(|k| start_of_kin(aim, k)));
    let mut looked: Vec<_> = starts
        .par_iter()
        .filter_map(|s| minimax(&problem, s, FIRST_LOOK))
        .collect();
    looked.sort_by(|a, b| a.value.total_cmp(&b.value));
    let mut surveys: usize = looked.iter().map(|l| l.surveys).sum();
    let polished: Vec<_> = looked
        .par_iter()
        .take(6)
        .filter_map(|l| minimax(&problem, &l.x, POLISH))
        .collect();
    surveys += polished.iter().map(|l| l.surveys).sum::<usize>();
    let best = polished
        .iter()
        .filter_map(|l| problem.plant.build(&l.x[1..]))
        .map(|r| (product(&r, aim.rejection_db, aim.tail_db, aim.falling), r))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (reached, filter) = best.expect("the known starts have surveys");
    finish(aim, &filter, reached, surveys)
}

fn finish(aim: EquivalentAim, filter: &Rational, reached: f64, surveys: usize) -> Equivalent {
    let scale = std::f64::consts::TAU / stop_from(filter, aim.rejection_db);
    let upright: Vec<Complex64> = filter.poles().to_vec();
    let mut nulls: Vec<f64> = filter
        .zeros()
        .iter()
        .filter(|z| z.im > 0.0)
        .map(|z| z.im * scale)
        .collect();
    nulls.sort_by(f64::total_cmp);
    Equivalent {
        aim,
        poles: Prototype::from_all(&upright).scaled(scale),
        nulls,
        product: reached,
        surveys,
    }
}

fn problem_of(aim: EquivalentAim) -> CalmProblem {
    CalmProblem {
        plant: Plant::low_pass(aim.poles, aim.notches),
        stops: vec![StopEdge {
            omega: std::f64::consts::TAU,
            under: -aim.rejection_db * NEPERS - HAIR,
            upward: true,
        }],
        level: 10.0_f64.powf(-aim.tail_db / 20.0) * (1.0 - HAIR),
        fall: if aim.falling {
            std::f64::consts::LN_10
        } else {
            0.0
        },
        tail: 1.0,
        width: None,
        peak: None,
        slopes: Slopes {
            tail: 1.0,
            rejection: 0.0,
            width: 0.0,
        },
        penalty: 2.0,
    }
}

/// The known families and random companions, each brought to `D` = 1 Hz.
fn starts(aim: EquivalentAim, random: usize) -> Vec<Vec<f64>> {
    let n = aim.poles;
    let known = [
        bessel(n),
        butterworth(n),
        chebyshev(n, 0.1, ChebyshevEdge::ThreeDb),
    ];
    let mut dice = SplitMix::new(0x5eed_0000 + n as u64 * 97 + aim.notches as u64);
    let mut made = Vec::new();
    for proto in known.into_iter().flatten() {
        for first_null in [1.05, 1.3, 1.8] {
            made.push((proto.clone(), first_null));
            if aim.notches == 0 {
                break;
            }
        }
    }
    for _ in 0..random {
        let low = 0.25 + 0.75 * dice.unit();
        let pairs = (0..n / 2)
            .map(|k| {
                let slot = 2.0 * k as f64 + if n.is_multiple_of(2) { 0.6 } else { 1.4 };
                Complex64::new(
                    -low * (0.6 + 0.8 * dice.unit()),
                    slot * (0.2 + 0.6 * dice.unit()),
                )
            })
            .collect();
        let real = (0..n % 2)
            .map(|_| -low * (0.7 + 0.7 * dice.unit()))
            .collect();
        made.push((Prototype::new(pairs, real), 1.02 + 0.9 * dice.unit()));
    }
    made.into_iter()
        .map(|(proto, null)| start_of(aim, &proto, null))
        .collect()
}

/// The free numbers of a start: poles, nulls and the tail they give.
fn start_of(aim: EquivalentAim, proto: &Prototype, first_null: f64) -> Vec<f64> {
    let tau = std::f64::consts::TAU;
    let all_pole = Rational::new(proto.poles(), vec![], 0.0);
    let scale = tau / stop_from(&all_pole, aim.rejection_db);
    let scaled = proto.scaled(scale);
    let nulls: Vec<f64> = (0..aim.notches)
        .map(|k| tau * first_null * (1.0 + 0.8 * k as f64))
        .collect();
    free_numbers(aim, &scaled, &nulls)
}

/// A relative as a start: real poles at 45 rad/s and nulls far out make up the number.
fn start_of_kin(aim: EquivalentAim, kin: &Equivalent) -> Option<Vec<f64>> {
    if kin.aim.poles > aim.poles || kin.aim.notches > aim.notches {
        return None;
    }
    let mut real = kin.poles.real().to_vec();
    while real.len() + 2 * kin.poles.pairs().len() < aim.poles {
        real.push(-40.0 - 7.0 * real.len() as f64);
    }
    let mut nulls = kin.nulls.clone();
    while nulls.len() < aim.notches {
        nulls.push(100.0);
    }
    let proto = Prototype::new(kin.poles.pairs().to_vec(), real);
    Some(free_numbers(aim, &proto, &nulls))
}

/// The plant's numbers for given poles and nulls, with the logarithm of their tail in
/// front. Real poles beyond the plant's own go together in twos.
fn free_numbers(aim: EquivalentAim, proto: &Prototype, nulls: &[f64]) -> Vec<f64> {
    let mut x = Vec::new();
    for p in proto.pairs() {
        x.extend([(-p.re).ln(), p.im * p.im / std::f64::consts::TAU]);
    }
    let (single, twos) = proto.real().split_at(aim.poles % 2);
    for two in twos.chunks_exact(2) {
        let (mean, half) = (0.5 * (two[0] + two[1]), 0.5 * (two[1] - two[0]));
        x.extend([(-mean).ln(), -half * half / std::f64::consts::TAU]);
    }
    x.extend(single.iter().map(|p| (-p).ln()));
    x.extend(nulls.iter().map(|z| z.ln()));
    let filter = Plant::low_pass(aim.poles, aim.notches).build(&x);
    let tail = filter.map_or(1.0, |f| f.keyed().tail(10.0_f64.powf(-aim.tail_db / 20.0)));
    x.insert(0, tail.max(1e-3).ln());
    x
}
