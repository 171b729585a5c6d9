//! The value search against exhaustive results (ours, recomputed and proven by full
//! enumeration outside this project) and against a brute-force judge.

use super::{Aim, Found, Measure, Shelf, Task, Taste, Weights, search};
use crate::topology::{Rule, Topology};
use crate::{Section, Shape};
use parts::OpampModel;
use units::Hertz;

const E6: [f64; 6] = [1.0, 1.5, 2.2, 3.3, 4.7, 6.8];
const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6,
    6.2, 6.8, 7.5, 8.2, 9.1,
];

/// E96 by the rule of IEC 60063 [IEC-60063]: three figures of 10^(i/96).
fn e96() -> Vec<f64> {
    (0..96)
        .map(|i| (100.0 * 10f64.powf(f64::from(i) / 96.0)).round() / 100.0)
        .collect()
}

/// Values of a series over whole decades, `from` 10^decade.
fn decades(series: &[f64], from: i32, count: i32) -> Vec<f64> {
    let powers = from..from + count;
    powers
        .flat_map(|d| series.iter().map(move |v| v * 10f64.powi(d)))
        .collect()
}

fn band_pass(f0: f64, q: f64) -> Section {
    Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    }
}

/// The best values where only the error counts and the op-amp is ideal.
fn exact(topology: Topology, aim: Aim, shelf: &Shelf) -> Option<Found> {
    search(&Task {
        topology,
        aim,
        shelf,
        taste: Taste::NONE,
        amplifier: &OpampModel::ideal(),
        series: 0.0,
        most: 1.0,
    })
}

fn equal_aim(section: Section) -> Aim {
    Aim {
        section,
        gain: 1.0,
        slack: 1.0,
        weights: Weights::EQUAL,
        measure: Measure::Greatest,
    }
}

/// Recomputed by full enumeration: multiple-feedback band-pass, gain 1, R 1k..<1M, C 1n..<100n.
#[test]
fn multiple_feedback_band_pass_optima() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let rows = [
        (600.0, 4.0, 0.7995),
        (700.0, 4.0, 0.4586),
        (800.0, 8.0, 0.5282),
    ];
    for (f0, q, percent) in rows {
        let aim = equal_aim(band_pass(f0, q));
        let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
        // half a unit of the last printed digit
        assert!(
            (100.0 * found.error - percent).abs() <= 0.5e-4,
            "{f0} {q}: {:?}",
            found
        );
    }
}

/// Recomputed by full enumeration: the 600 Hz optimum's own parts, 270k 4.3k 360k 3.9n 12n.
#[test]
fn the_600_hz_optimum_has_the_published_parts() {
    let shelf = Shelf::new(decades(&E24, 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(600.0, 4.0));
    let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
    let published = [3.9e-9, 12e-9, 360e3, 270e3, 4.3e3];
    for (value, wanted) in found.values.iter().zip(published) {
        assert!((value / wanted - 1.0).abs() < 1e-9, "{:?}", found.values);
    }
}

/// Recomputed by full enumeration: 700 Hz, Q 4 with C1 = C2, one capacitor value at a time.
#[test]
fn equal_capacitors_do_worse() {
    let aim = equal_aim(band_pass(700.0, 4.0));
    let least = decades(&E12, -9, 2)
        .into_iter()
        .filter_map(|c| {
            let shelf = Shelf::new(decades(&E24, 3, 3), vec![c]);
            exact(Topology::MultipleFeedbackBandPass, aim, &shelf)
        })
        .map(|found| found.error)
        .fold(f64::INFINITY, f64::min);
    assert!((100.0 * least - 0.6969).abs() <= 0.5e-4, "{least}");
}

/// Recomputed by full enumeration: 700 Hz, Q 4, resistors of E96.
#[test]
fn e96_resistors_do_better() {
    let shelf = Shelf::new(decades(&e96(), 3, 3), decades(&E12, -9, 2));
    let aim = equal_aim(band_pass(700.0, 4.0));
    let found = exact(Topology::MultipleFeedbackBandPass, aim, &shelf).unwrap();
    assert!((100.0 * found.error - 0.1324).abs() <= 0.5e-4, "{found:?}");
}

/// A row of the published problem: series of R and of C, least cost, and the parts of each stage
/// (Q 1.3065, then Q 0.5412): R1, R2, C1, C2.
type Published<'a> = (&'a [f64], &'a [f64], f64, [[f64; 4]; 2]);

/// Recomputed by full enumeration: fourth-order Butterworth low-pass of two unity-gain Sallen–Key
/// stages, R 1k..<1M, C 1n..<1u, all parts of one series; the problem of [HORROCKS1993] and
/// [VURAL2012], optima by exhaustive search. Both stages are independent, so are their optima.
#[test]
fn published_butterworth_problem() {
    let e96 = e96();
    let rows: [Published<'_>; 4] = [
        (
            &E12,
            &E12,
            5.7316e-3,
            [[4.7e3, 4.7e3, 8.2e-9, 56e-9], [5.6e3, 180e3, 1e-9, 10e-9]],
        ),
        (
            &E24,
            &E24,
            1.8524e-3,
            [[3.3e3, 18e3, 3.6e-9, 47e-9], [3.3e3, 5.1e3, 22e-9, 27e-9]],
        ),
        (
            &e96,
            &e96,
            5.0903e-5,
            [
                [1.13e3, 24.3e3, 3.01e-9, 121e-9],
                [1.87e3, 10.7e3, 14.7e-9, 34e-9],
            ],
        ),
        (
            &e96,
            &E12,
            1.2296e-3,
            [
                [17.4e3, 17.4e3, 2.2e-9, 15e-9],
                [2.1e3, 45.3e3, 3.9e-9, 27e-9],
            ],
        ),
    ];
    for (r, c, cost, stages) in rows {
        let shelf = Shelf::new(decades(r, 3, 3), decades(c, -9, 3));
        let mut total = 0.0;
        for (q, printed) in [1.0 / 0.7654, 1.0 / 1.8478].into_iter().zip(stages) {
            let aim = Aim::published_low_pass(1e4, q);
            let found = exact(Topology::SallenKeyLowPass, aim, &shelf).unwrap();
            same_parts(&found.values, printed);
            total += found.error;
        }
        // half a unit of the last printed digit
        assert!(
            (total / cost - 1.0).abs() < 1e-4,
            "{} {}: {total:e} {cost:e}",
            r.len(),
            c.len()
        );
    }
}

/// The parts in print, or the same stage a decade of impedance up or down or with R1 and R2
/// exchanged: neither changes ω0 or Q, so print shows one of several equal optima.
fn same_parts(found: &[f64], [r1, r2, c1, c2]: [f64; 4]) {
    let alike = |[r1, r2]: [f64; 2], scale: f64| {
        let printed = [c1 / scale, c2 / scale, r1 * scale, r2 * scale];
        let mut pairs = found.iter().zip(printed);
        pairs.all(|(value, printed)| (value / printed - 1.0).abs() < 1e-9)
    };
    let scales = [0.01, 0.1, 1.0, 10.0, 100.0];
    let met = scales
        .iter()
        .any(|&scale| alike([r1, r2], scale) || alike([r2, r1], scale));
    assert!(met, "{found:?} for {r1} {r2} {c1} {c2}");
}

/// Recomputed: E48 and E96 are almost geometric, so products of four values fall near a lattice;
/// a shop's E24 and E96 together do better than either (strictly, here).
#[test]
fn a_shop_of_two_series_beats_either() {
    let aim = Aim::published_low_pass(1e4, 1.0 / 0.7654);
    let capacitors = decades(&E12, -9, 2);
    let least = |series: &[f64]| {
        let shelf = Shelf::new(decades(series, 3, 2), capacitors.clone());
        exact(Topology::SallenKeyLowPass, aim, &shelf)
            .unwrap()
            .error
    };
    let (coarse, fine) = (least(&E24), least(&e96()));
    let both = least(&[E24.to_vec(), e96()].concat());
    assert!(both < fine && both < coarse, "{both} {fine} {coarse}");
}

/// What a design says about one place besides its equations.
enum Design {
    /// Alike to an earlier place: within 1.5 times.
    Like(usize, usize),
    /// Resistor alike to a multiple of `1/(ω0C)`.
    Rc(usize, f64),
    /// In a range.
    Range(usize, f64, f64),
}

impl Design {
    fn allows(&self, chosen: &[f64], w0: f64) -> bool {
        let alike = |ratio: f64| (1.0 / 1.5 - 1e-9..=1.5 + 1e-9).contains(&ratio);
        let last = chosen.len() - 1;
        match *self {
            Design::Like(place, other) => place != last || alike(chosen[place] / chosen[other]),
            Design::Rc(place, times) => {
                place != last || alike(chosen[place] * w0 * chosen[0] / times)
            }
            Design::Range(place, low, high) => {
                place != last || (low..=high).contains(&chosen[place])
            }
        }
    }
}

/// Topology, section, factor by which the gain may be off, rules of the design.
type Row = (Topology, Section, f64, Vec<Design>);

/// Rows with few free places, for a finer shelf.
fn fine_rows() -> Vec<Row> {
    use Design::{Like, Range, Rc};
    let low = Section {
        shape: Shape::LowPass,
        ..band_pass(700.0, 1.5)
    };
    let high = Section {
        shape: Shape::HighPass,
        ..low
    };
    let free = f64::INFINITY;
    let equal = || vec![Rc(2, 1.0), Like(3, 2), Range(4, 4.7e3, 47e3)];
    vec![
        (
            Topology::MultipleFeedbackBandPass,
            band_pass(650.0, 4.0),
            1.4,
            vec![],
        ),
        (
            Topology::MultipleFeedbackBandPass,
            band_pass(500.0, 1.3),
            1.0,
            vec![],
        ),
        (Topology::MultipleFeedbackLowPass, low, 1.4, vec![]),
        (Topology::MultipleFeedbackHighPass, high, 1.4, vec![]),
        (Topology::SallenKeyLowPass, low, free, vec![]),
        (Topology::SallenKeyHighPass, high, free, vec![]),
        (Topology::EqualSallenKeyLowPass, low, free, equal()),
        (Topology::EqualSallenKeyHighPass, high, free, equal()),
    ]
}

/// Rows with many free places, for a coarse shelf.
fn coarse_rows() -> Vec<Row> {
    use Design::{Like, Range, Rc};
    let bp = |q| band_pass(650.0, q);
    let dual = vec![Rc(2, 1.0), Like(3, 2), Like(5, 2)];
    let ring = vec![Like(5, 4), Rc(6, 1.0), Like(7, 6)];
    let state = vec![Like(3, 2), Rc(4, 1.0), Like(5, 4), Range(7, 1e3, 10e3)];
    let key = vec![Rc(2, 2f64.sqrt()), Range(6, 4.7e3, 47e3)];
    vec![
        (Topology::DualAmplifierBandPass, bp(3.0), 1.4, dual),
        (Topology::RingBandPass, bp(3.0), 1.4, ring),
        (Topology::StateVariableBandPass, bp(2.0), 1.4, state),
        (Topology::SallenKeyBandPass, bp(2.0), 1.4, key),
    ]
}

/// Slow judge: every combination of a small shelf that the design allows, with taste and a
/// slow op-amp, none of the brackets. The search may look a little beyond the design's
/// rules, so it may be better, never worse.
#[test]
fn nothing_on_the_shelf_is_better() {
    let fine = Shelf::new(decades(&E12, 3, 3), decades(&E6, -9, 2));
    let coarse = Shelf::new(decades(&E6, 3, 3), decades(&[1.0, 2.2, 4.7], -9, 2));
    for row in fine_rows() {
        nothing_is_better(row, &fine);
    }
    for row in coarse_rows() {
        nothing_is_better(row, &coarse);
    }
}

fn nothing_is_better((topology, section, slack, design): Row, shelf: &Shelf) {
    let amplifier = OpampModel {
        dc_gain: 1e5,
        gain_bandwidth: Hertz(0.7e6),
        ..OpampModel::ideal()
    };
    let task = Task {
        topology,
        aim: Aim::response(section, 1.0, slack),
        shelf,
        taste: Taste::BENCH,
        amplifier: &amplifier,
        series: 0.0,
        most: 1.0,
    };
    let found = search(&task).unwrap();
    let mut trial = Trial {
        task: &task,
        design,
        least: f64::INFINITY,
    };
    trial.all(&mut Vec::new(), 0.0, &task.aim);
    let (name, least) = (topology.name(), trial.least);
    assert!(found.cost <= least + 1e-12, "{name} {} {least}", found.cost);
    assert!(found.cost > 0.9 * least, "{name} {} {least}", found.cost);
}

/// Every combination that the design allows.
struct Trial<'a> {
    task: &'a Task<'a>,
    design: Vec<Design>,
    least: f64,
}

impl Trial<'_> {
    fn all(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let task = self.task;
        let topology = task.topology;
        let w0 = std::f64::consts::TAU * aim.section.f0.0;
        if !chosen.is_empty() && !self.design.iter().all(|d| d.allows(chosen, w0)) {
            return;
        }
        let Some(place) = topology.places().get(chosen.len()) else {
            let error = aim.cost(&topology.reached(chosen));
            self.least = self.least.min(error.max(task.taste.indifference) + awkward);
            return;
        };
        let (mut moved, mut awkward) = (*aim, awkward);
        if chosen.len() == topology.capacitors() {
            let (section, gain) = (&task.aim.section, task.aim.gain);
            let drift = topology.drift(section, gain, chosen, task.amplifier);
            // a tenth of the half width moved costs 1 %
            awkward += 0.1 * (2.0 * section.q * drift.f0.abs() + drift.q.abs());
            moved = task.aim.against(drift);
        }
        let candidates: Vec<f64> = match place.rule {
            Rule::Free => task.shelf.all(place.kind).to_vec(),
            Rule::Same(earlier) => vec![chosen[earlier]],
            Rule::Near(wanted) => task.shelf.nearest(place.kind, wanted).into_iter().collect(),
        };
        for value in candidates {
            let free = place.rule == Rule::Free;
            let price = if free {
                task.taste.of(place.kind, value)
            } else {
                0.0
            };
            chosen.push(value);
            self.all(chosen, awkward + price, &moved);
            chosen.pop();
        }
    }
}
