//! The fewest swaps. Order of trust: closed form, common practice.

use circuit::Circuit;
use circuit::system::{Property, System};
use circuit::variants::{Batch, Variants};
use filter::retune::{
    Aim, Look, Miss, Onlooker, Remedy, Travel, Wanted, Width, reach, stages, trim,
};
use filter::swaps::{Effort, Place, Stock, Swaps, best_free, frontier, slopes};
use parts::{OpampModel, Series};
use testkit::Board;
use units::Ohms;

/// A circuit, the places of its resistors and what is asked of it.
struct Bench<'a> {
    circuit: &'a Circuit,
    eyes: Onlooker<'a>,
    centre_hz: f64,
    places: Vec<Place>,
    wanted: Wanted,
}

impl<'a> Bench<'a> {
    fn new(circuit: &'a Circuit, system: &'a System, series: Series, aim: Aim) -> Self {
        let eyes = Onlooker::new(circuit, system, Travel::decade()).expect("equations");
        let old = eyes.bands(&Variants::nominal(system))[0].expect("a band");
        let wanted = Wanted::carried(old, &aim, |f| eyes.gains_db(f));
        let parameters = system.parameters().iter().enumerate();
        let places = parameters
            .filter(|(_, p)| p.property == Property::Resistance)
            .map(|(parameter, p)| Place {
                parameter,
                now: p.value,
                candidates: series
                    .values(Ohms(p.value / 10.0), Ohms(p.value * 10.0))
                    .iter()
                    .map(|r| r.0)
                    .collect(),
                price: 1.0,
            })
            .collect();
        Bench {
            circuit,
            eyes,
            centre_hz: old.centre_hz,
            places,
            wanted,
        }
    }

    fn judge(&self, variants: &Variants) -> Vec<Option<Vec<f64>>> {
        let looks = self.eyes.looks(variants, &self.wanted);
        let told = |l: Option<Look>| l.map(|l| self.wanted.residuals(&l));
        looks.into_iter().map(told).collect()
    }

    fn frontier(&self, most: usize) -> Vec<Swaps> {
        let effort = Effort { most, enough: 0.05 };
        frontier(
            &self.places,
            &Stock::default(),
            &|v: &Variants| self.judge(v),
            effort,
        )
    }

    fn reference(&self, place: usize) -> &str {
        let part = self.eyes.system().parameters()[self.places[place].parameter].part;
        &self.circuit.parts[part].reference
    }

    fn names(&self, swaps: &Swaps) -> Vec<&str> {
        swaps
            .swaps
            .iter()
            .map(|s| self.reference(s.place))
            .collect()
    }

    fn miss(&self, swaps: &Swaps) -> Miss {
        self.wanted.miss(&swaps.residuals)
    }

    fn told(&self, found: &[Swaps]) -> String {
        let line = |s: &Swaps| {
            let each = s.swaps.iter().map(|x| {
                let ratio = x.to / self.places[x.place].now;
                format!("{} x{ratio:.3}", self.reference(x.place))
            });
            let all: Vec<String> = each.collect();
            format!("{} {:?} {}\n", s.swaps.len(), self.miss(s), all.join(", "))
        };
        found.iter().map(line).collect()
    }
}

fn asked(pitch_hz: Option<f64>, width: Width, gain_db: Option<f64>) -> Aim {
    Aim {
        pitch_hz,
        width,
        gain_db,
    }
}

fn feedback_stages(count: usize) -> Circuit {
    let nodes = ["in", "m1", "m2", "out"];
    let mut board = Board::new("multiple feedback");
    for k in 0..count {
        let to = if k + 1 == count { "out" } else { nodes[k + 1] };
        let section = [700.0, 5.0, 1.0, 10e-9];
        board = board.multiple_feedback(k + 1, section, &OpampModel::ideal(), [nodes[k], to]);
    }
    board.finish()
}

/// Closed form: f0 = 1/(2πC) √((R1 + R2)/(R1 R2 R3)), Q/f0 and gain do not know R2
/// [OAFE §16.5.1.2]: where the centre alone is asked for, the ground leg alone is changed.
#[test]
fn the_ground_leg_alone_moves_the_centre_alone() {
    for count in [1, 2] {
        let circuit = feedback_stages(count);
        let system = System::build(&circuit).expect("equations");
        let aim = asked(Some(600.0), Width::Same, None);
        let bench = Bench::new(&circuit, &system, Series::E96, aim);
        let found = bench.frontier(2 * count);
        let best = found
            .iter()
            .find(|s| s.swaps.len() == count)
            .expect("an answer");
        let told = bench.told(&found);
        let legs: Vec<String> = (1..=count).map(|k| format!("R{k}2")).collect();
        assert_eq!(bench.names(best), legs, "{told}");
        // R2 for 600 Hz, Q in proportion: within a step of the series.
        let k = std::f64::consts::TAU * 600.0 * 10e-9;
        let q = 5.0 * 600.0 / 700.0;
        let wanted = q / ((2.0 * q * q - 1.0) * k);
        for swap in &best.swaps {
            assert!((swap.to / wanted).ln().abs() < 0.025, "{told}");
        }
        assert!(bench.miss(best).total < 0.5, "{told}");
        assert!(found[0].swaps.is_empty() && found[0].error > 5.0, "{told}");
        assert_eq!(best.proven, count == 1, "{told}");
    }
}

/// Published sensitivities of the multiple-feedback band-pass: S(ω0; R1) = −½ R2/(R1 + R2),
/// S(ω0; R2) = −½ R1/(R1 + R2), S(ω0; R3) = −½; those of Q the same for R1 and R2, +½ for R3; the
/// width is ω0/Q [FRANCO, ch. 3].
#[test]
fn the_linear_model_has_the_published_sensitivities() {
    let circuit = feedback_stages(1);
    let system = System::build(&circuit).expect("equations");
    let bench = Bench::new(
        &circuit,
        &system,
        Series::E96,
        asked(None, Width::Same, None),
    );
    let logs = |v: &Variants| -> Vec<Option<Vec<f64>>> {
        let bands = bench.eyes.bands(v).into_iter();
        bands
            .map(|b| b.map(|b| vec![b.centre_hz.ln(), b.width_hz.ln()]))
            .collect()
    };
    let found = slopes(&bench.places, &logs).expect("a band");
    let (r1, r2) = (bench.places[0].now, bench.places[1].now);
    let wanted = [
        [-0.5 * r2 / (r1 + r2), 0.0],
        [-0.5 * r1 / (r1 + r2), 0.0],
        [-0.5, -1.0],
    ];
    for (found, wanted) in found.iter().zip(wanted) {
        for (found, wanted) in found.iter().zip(wanted) {
            // A difference of a thousandth bends by half of that; edges are read to 3e-4 widths.
            assert!((found - wanted).abs() < 2e-3, "{found} for {wanted}");
        }
    }
}

/// Closed form: with the width in proportion, all resistors grow by the same factor.
#[test]
fn every_resistor_is_scaled_when_that_is_best() {
    let circuit = feedback_stages(1);
    let system = System::build(&circuit).expect("equations");
    let aim = asked(Some(550.0), Width::InProportion, None);
    let bench = Bench::new(&circuit, &system, Series::E96, aim);
    let judge = |v: &Variants| bench.judge(v);
    let (values, error) = best_free(&bench.places, &[0, 1, 2], &judge).expect("an answer");
    assert!(error < 1e-2, "{error}");
    for (place, value) in bench.places.iter().zip(values) {
        assert!(
            (value / place.now * 550.0 / 700.0 - 1.0).abs() < 1e-3,
            "{value}"
        );
    }
    let found = bench.frontier(3);
    let best = found.last().expect("an answer");
    let told = bench.told(&found);
    assert_eq!(best.swaps.len(), 3, "{told}");
    for swap in &best.swaps {
        let off = swap.to / bench.places[swap.place].now * 550.0 / 700.0;
        // A step of E96 is 2.4 %.
        assert!(off.ln().abs() < 0.025, "{told}");
    }
}

/// Unity-gain stages of two resistors and two capacitors, low-pass and high-pass in turn: two
/// Butterworth filters of fourth order, Q 1.3065 and 0.5412 [OAFE, table 16-4].
fn cascade() -> Circuit {
    let ideal = OpampModel::ideal();
    let mut board = Board::new("low-passes and high-passes");
    let nodes = ["in", "m1", "m2", "m3", "out"];
    for (k, (f0, q)) in [
        (800.0, 1.3065),
        (610.0, 1.3065),
        (800.0, 0.5412),
        (610.0, 0.5412),
    ]
    .into_iter()
    .enumerate()
    {
        let (from, to) = (nodes[k], nodes[k + 1]);
        let (a, b) = (format!("a{k}"), format!("b{k}"));
        let name = |kind: &str, place: usize| format!("{kind}{}{place}", k + 1);
        let omega = std::f64::consts::TAU * f0;
        board = if k % 2 == 0 {
            // Low-pass: C2 = 1/(Qω(R1 + R2)) to 0 V, C1 = 1/(ω² R1 R2 C2) fed back. With equal
            // resistors Q would be at its greatest and hardly tell them apart.
            let (r1, r2) = (22e3, 82e3);
            let c2 = 1.0 / (q * omega * (r1 + r2));
            board
                .r(&name("R", 1), r1, from, &a)
                .r(&name("R", 2), r2, &a, &b)
                .c(&name("C", 1), 1.0 / (omega * omega * r1 * r2 * c2), &a, to)
                .c(&name("C", 2), c2, &b, "0")
        } else {
            // High-pass, equal capacitors: R1 = 1/(2QωC) fed back, R2 = 2Q/(ωC) to 0 V.
            let c = 10e-9;
            board
                .c(&name("C", 1), c, from, &a)
                .c(&name("C", 2), c, &a, &b)
                .r(&name("R", 1), 1.0 / (2.0 * q * omega * c), &a, to)
                .r(&name("R", 2), 2.0 * q / (omega * c), &b, "0")
        };
        board = board.u(&format!("U{}", k + 1), &ideal, [&b, to, to]);
    }
    board.finish()
}

/// Common practice: moving the centre of a cascade of second-order low-pass and high-pass stages
/// by resistors alone changes two resistors per stage. That is so for the full effect, the whole
/// response moved and nothing else: with values free to vary, any set with one resistor less
/// leaves an error, and all eight are scaled alike.
#[test]
fn a_cascade_takes_two_resistors_a_stage() {
    let circuit = cascade();
    let system = System::build(&circuit).expect("equations");
    let aim = asked(Some(550.0), Width::InProportion, None);
    let bench = Bench::new(&circuit, &system, Series::E96, aim);
    let old_hz: Vec<f64> = (0..=80)
        .map(|k| 70.0 * 100f64.powf(f64::from(k) / 80.0))
        .collect();
    let wanted_db = bench.eyes.gains_db(&old_hz);
    let new_hz: Vec<f64> = old_hz.iter().map(|f| f * 550.0 / bench.centre_hz).collect();
    let batch = Batch::new(&system, &[circuit.output], 550.0).expect("equations");
    // A tenth of a decibel anywhere from 70 Hz to 7 kHz, wherever the response is, counts as one.
    let judge = |v: &Variants| -> Vec<Option<Vec<f64>>> {
        let off = |(h, wanted): (&num_complex::Complex64, &f64)| {
            10.0 * (10.0 * h.norm_sqr().log10() - wanted) / 9.0
        };
        let rows = batch.sweep(v, &new_hz).values;
        let rows = rows.chunks(new_hz.len());
        rows.map(|row| Some(row.iter().zip(&wanted_db).map(off).collect()))
            .collect()
    };
    let all: Vec<usize> = (0..8).collect();
    let (values, error) = best_free(&bench.places, &all, &judge).expect("an answer");
    assert!(error < 1e-4, "{error}");
    for (place, value) in bench.places.iter().zip(&values) {
        let off = value / place.now * 550.0 / bench.centre_hz;
        assert!(off.ln().abs() < 1e-5, "{values:?}");
    }
    for left in 0..8 {
        let fewer: Vec<usize> = (0..8).filter(|&k| k != left).collect();
        let (_, without) = best_free(&bench.places, &fewer, &judge).expect("an answer");
        // A hundredth of a decibel in all; of the eight, no more than rounding is left.
        assert!(without > 0.1, "without {left}: {without}");
    }
}

/// The same cascade by what a listener notices: half the swaps do, and the error says so.
#[test]
fn fewer_swaps_come_near_where_nobody_hears_the_difference() {
    let circuit = cascade();
    let system = System::build(&circuit).expect("equations");
    let aim = asked(Some(550.0), Width::InProportion, None);
    let bench = Bench::new(&circuit, &system, Series::E96, aim);
    let found = bench.frontier(8);
    let told = bench.told(&found);
    for pair in found.windows(2) {
        assert!(pair[0].error > pair[1].error, "{told}");
        assert!(pair[0].swaps.len() < pair[1].swaps.len(), "{told}");
    }
    let four = found
        .iter()
        .find(|s| s.swaps.len() == 4)
        .expect("an answer");
    assert!(four.error < 1.0, "{told}");
}

/// Closed form: gain −R3/2R1 and R1 ∥ R2 alone sets the centre: the gain is changed by the input
/// resistor with its ground leg [OAFE §16.5.1.2].
#[test]
fn gain_alone_is_set_by_the_input_resistor_and_its_ground_leg() {
    let circuit = feedback_stages(1);
    let system = System::build(&circuit).expect("equations");
    let aim = asked(None, Width::Same, Some(20.0));
    let bench = Bench::new(&circuit, &system, Series::E96, aim);
    let found = bench.frontier(3);
    let told = bench.told(&found);
    let best = found
        .iter()
        .find(|s| s.swaps.len() == 2)
        .expect("an answer");
    assert_eq!(bench.names(best), ["R11", "R12"], "{told}");
    let miss = bench.miss(best);
    assert!(miss.gain_db.abs() < 0.25 && miss.total < 0.6, "{told}");
}

/// Closed form: R1 alone moves the centre between the limits of R1 ∥ R2, and the width not at all.
#[test]
fn reach_is_that_of_the_closed_form() {
    let circuit = feedback_stages(1);
    let system = System::build(&circuit).expect("equations");
    let aim = asked(Some(600.0), Width::Same, None);
    let mut bench = Bench::new(&circuit, &system, Series::E96, aim);
    bench.places.truncate(1);
    let centre = |v: &Variants| -> Vec<Option<f64>> {
        bench
            .eyes
            .bands(v)
            .into_iter()
            .map(|b| b.map(|b| b.centre_hz))
            .collect()
    };
    let width = |v: &Variants| -> Vec<Option<f64>> {
        bench
            .eyes
            .bands(v)
            .into_iter()
            .map(|b| b.map(|b| b.width_hz))
            .collect()
    };
    let value = |name: &str| {
        let part = circuit.find_part(name).expect("a part");
        let mut all = system.parameters().iter();
        all.find(|p| p.part == part).expect("a value").value
    };
    let (r2, r3) = (value("R12"), value("R13"));
    let f0 = |r1: f64| (1.0 / r1 + 1.0 / r2).sqrt() / (std::f64::consts::TAU * 10e-9 * r3.sqrt());
    let found = reach(&bench.places, &centre).expect("a centre");
    let (low, high) = bench.places[0].reach();
    assert!(found.is_bound && found.idle.is_empty(), "{found:?}");
    assert!((found.least / f0(high) - 1.0).abs() < 2e-4, "{found:?}");
    assert!((found.greatest / f0(low) - 1.0).abs() < 2e-4, "{found:?}");
    let still = reach(&bench.places, &width).expect("a width");
    assert!(
        (still.greatest / still.least - 1.0).abs() < 1e-3,
        "{still:?}"
    );
}

/// Closed form: f0² ∝ (1/R1 + 1/R2)/C², so capacitors a share too large are made up for by the
/// ground leg alone, and by no other resistor [OAFE §16.5.1.2]: the trim of common practice.
#[test]
fn a_stage_is_trimmed_by_its_ground_leg() {
    let circuit = feedback_stages(2);
    let system = System::build(&circuit).expect("equations");
    let stages = stages(&circuit, &system, 700.0);
    for (measured, across) in [(686.0, true), (712.0, false)] {
        let found = trim(&circuit, &stages, measured, None, |r| {
            Series::E24.nearest(Ohms(r)).0
        })
        .expect("a trim");
        let names: Vec<&str> = found
            .trims
            .iter()
            .map(|t| circuit.parts[t.part].reference.as_str())
            .collect();
        assert_eq!(names, ["R12", "R22"], "{found:?}");
        // R1 is 49 times R2 at Q 5 and unity gain. The two may stand a little apart, which gives
        // back the width that the larger capacitors took; their mean is that of the closed form.
        let ratio = 700.0 / measured;
        let wanted = 1.0 / (ratio * ratio * (1.0 + 1.0 / 49.0) - 1.0 / 49.0);
        let shares: Vec<f64> = found.trims.iter().map(|t| t.to / t.from).collect();
        let mean = (shares[0] * shares[1]).sqrt();
        assert!((mean / wanted - 1.0).abs() < 2e-3, "{found:?}, {wanted}");
        for t in &found.trims {
            assert!((t.to / t.from / wanted - 1.0).abs() < 0.04, "{found:?}");
            let remedy = Remedy::between(t.from, t.to);
            assert_eq!(matches!(remedy, Remedy::Across(_)), across);
            assert!((remedy.applied(t.from) / t.to - 1.0).abs() < 1e-12);
        }
        assert!((found.capacitors - (700.0 / measured - 1.0)).abs() < 1e-6);
        assert!(
            found.after.total < 0.5 && found.before.total > 1.0,
            "{found:?}"
        );
    }
}

/// Closed form: an inverting stage has the gain −R6/R5 at every frequency: where the gain alone is
/// asked for, one of the two is changed and nothing else moves.
#[test]
fn gain_alone_is_one_resistor_where_a_gain_stage_has_it() {
    let ideal = OpampModel::ideal();
    let circuit = Board::new("a stage and a gain stage")
        .multiple_feedback(1, [700.0, 5.0, 1.0, 10e-9], &ideal, ["in", "m"])
        .r("R5", 10e3, "m", "v")
        .r("R6", 10e3, "v", "out")
        .u("U2", &ideal, ["0", "v", "out"])
        .finish();
    let system = System::build(&circuit).expect("equations");
    let aim = asked(None, Width::Same, Some(6.0));
    let bench = Bench::new(&circuit, &system, Series::E24, aim);
    let found = bench.frontier(5);
    let told = bench.told(&found);
    let one = found
        .iter()
        .find(|s| s.swaps.len() == 1)
        .expect("an answer");
    assert!(
        one.proven && ["R5", "R6"].contains(&bench.names(one)[0]),
        "{told}"
    );
    let miss = bench.miss(one);
    assert!(
        miss.centre_hz.abs() < 0.1 && miss.width_hz.abs() < 0.1,
        "{told}"
    );
    // A step of E24 is 0.8 dB.
    assert!(miss.gain_db.abs() < 0.45, "{told}");
}

/// Two routes: the search for three swaps against every one of them, where they are too many for
/// the search to measure all itself.
#[test]
fn the_search_finds_what_measuring_everything_finds() {
    let circuit = cascade();
    let system = System::build(&circuit).expect("equations");
    for (pitch, width) in [(640.0, Width::Same), (760.0, Width::InProportion)] {
        let mut bench = Bench::new(
            &circuit,
            &system,
            Series::E12,
            asked(Some(pitch), width, None),
        );
        bench.places.truncate(6);
        let every = everything_of_three(&bench);
        assert!(every.len() > 20_000, "{} combinations", every.len());
        let mut least = f64::INFINITY;
        for portion in every.chunks(1000) {
            let mut variants = Variants::of(bench.places.iter().map(|p| p.parameter).collect());
            for row in portion {
                variants.push(row).expect("values above zero");
            }
            for residuals in bench.judge(&variants).into_iter().flatten() {
                least = least.min(residuals.iter().map(|r| r * r).sum::<f64>().sqrt());
            }
        }
        let found = bench.frontier(3);
        let best = found.last().expect("an answer");
        assert!(
            !best.proven && best.swaps.len() == 3,
            "{}",
            bench.told(&found)
        );
        assert!(
            best.error < least * (1.0 + 1e-9),
            "{} against {least}",
            bench.told(&found)
        );
    }
}

/// The values of all places for every choice of three swaps among the nearest twelve candidates.
fn everything_of_three(bench: &Bench<'_>) -> Vec<Vec<f64>> {
    let near = |p: &Place| -> Vec<f64> {
        let mut all = p.candidates.clone();
        all.retain(|v| (v / p.now - 1.0).abs() > 1e-9);
        all.sort_by(|a, b| (a / p.now).ln().abs().total_cmp(&(b / p.now).ln().abs()));
        all.truncate(12);
        all
    };
    let now: Vec<f64> = bench.places.iter().map(|p| p.now).collect();
    let near: Vec<Vec<f64>> = bench.places.iter().map(near).collect();
    let mut rows = Vec::new();
    for a in 0..near.len() {
        for b in a + 1..near.len() {
            for c in b + 1..near.len() {
                for &x in &near[a] {
                    for &y in &near[b] {
                        for &z in &near[c] {
                            let mut row = now.clone();
                            (row[a], row[b], row[c]) = (x, y, z);
                            rows.push(row);
                        }
                    }
                }
            }
        }
    }
    rows
}
