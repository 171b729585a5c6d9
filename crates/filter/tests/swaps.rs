//! The fewest swaps. Order of trust: closed form, common practice.

use circuit::Circuit;
use circuit::system::{Property, System};
use circuit::variants::{Batch, Variants};
use filter::retune::{Aim, Look, Miss, Wanted, Width, reach};
use filter::swaps::{Effort, Place, Stock, Swaps, best_free, frontier};
use parts::{OpampModel, Series};
use testkit::Board;
use units::Ohms;

/// Looks at variants on a fixed grid, edges interpolated.
struct Eyes<'a> {
    batch: Batch<'a>,
    grid_hz: Vec<f64>,
}

impl<'a> Eyes<'a> {
    fn new(circuit: &Circuit, system: &'a System) -> Self {
        let grid = (0..=600).map(|k| 100.0 * 30f64.powf(f64::from(k) / 600.0));
        Eyes {
            batch: Batch::new(system, &[circuit.output], 700.0).expect("equations"),
            grid_hz: grid.collect(),
        }
    }

    fn gains_db(&self, variants: &Variants, f_hz: &[f64]) -> Vec<f64> {
        let readings = self.batch.sweep(variants, f_hz);
        let db = |v: &num_complex::Complex64| 10.0 * v.norm_sqr().log10();
        readings.values.iter().map(db).collect()
    }

    /// Centre, and width 6 dB down, of every variant.
    fn bands(&self, variants: &Variants) -> Vec<Option<(f64, f64)>> {
        let all = self.gains_db(variants, &self.grid_hz);
        let band = |gains: &[f64]| {
            let top = (0..gains.len()).max_by(|&a, &b| gains[a].total_cmp(&gains[b]))?;
            let (a, b, c) = (gains.get(top.checked_sub(1)?)?, gains[top], gains.get(top + 1)?);
            let peak = b + 0.125 * (c - a) * (c - a) / (2.0 * b - a - c).max(1e-12);
            let edge = |down: f64, mut at: Vec<usize>| {
                let level = peak - down;
                at.retain(|&k| gains[k] < level);
                let out = *at.first()?;
                let inside = if out < top { out + 1 } else { out - 1 };
                let share = (level - gains[out]) / (gains[inside] - gains[out]);
                let ln = |k: usize| self.grid_hz[k].ln();
                Some((ln(out) + share * (ln(inside) - ln(out))).exp())
            };
            let half = 10.0 * 2f64.log10();
            let low = |down| edge(down, (0..top).rev().collect());
            let high = |down| edge(down, (top + 1..gains.len()).collect());
            let centre = (low(half)? * high(half)?).sqrt();
            Some((centre, high(6.0)? - low(6.0)?))
        };
        all.chunks(self.grid_hz.len()).map(band).collect()
    }

    fn looks(&self, variants: &Variants, wanted: &Wanted) -> Vec<Option<Look>> {
        let curves = self.gains_db(variants, &wanted.f_hz);
        let gains = self.gains_db(variants, &[wanted.pitch_hz]);
        let bands = self.bands(variants).into_iter();
        bands
            .zip(curves.chunks(wanted.f_hz.len()))
            .zip(gains)
            .map(|((band, curve), gain_db)| {
                let (centre_hz, width_hz) = band?;
                Some(Look {
                    centre_hz,
                    width_hz,
                    gain_db,
                    curve_db: curve.to_vec(),
                })
            })
            .collect()
    }
}

/// A circuit, the places of its resistors and what is asked of it.
struct Bench<'a> {
    circuit: &'a Circuit,
    eyes: Eyes<'a>,
    places: Vec<Place>,
    wanted: Wanted,
}

impl<'a> Bench<'a> {
    fn new(circuit: &'a Circuit, system: &'a System, series: Series, aim: Aim) -> Self {
        let eyes = Eyes::new(circuit, system);
        let nominal = Variants::nominal(system);
        let (centre, width) = eyes.bands(&nominal)[0].expect("a band");
        let wanted = Wanted::carried(centre, width, &aim, |f| eyes.gains_db(&nominal, f));
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
        frontier(&self.places, &Stock::default(), &|v: &Variants| self.judge(v), effort)
    }

    fn reference(&self, place: usize) -> &str {
        let part = self.eyes.batch.system().parameters()[self.places[place].parameter].part;
        &self.circuit.parts[part].reference
    }

    fn names(&self, swaps: &Swaps) -> Vec<&str> {
        swaps.swaps.iter().map(|s| self.reference(s.place)).collect()
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
        let best = found.iter().find(|s| s.swaps.len() == count).expect("an answer");
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
        assert!((value / place.now * 550.0 / 700.0 - 1.0).abs() < 1e-3, "{value}");
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

/// Unity-gain stages of two resistors and two capacitors, low-pass and high-pass in turn.
fn cascade() -> Circuit {
    let ideal = OpampModel::ideal();
    let mut board = Board::new("low-passes and high-passes");
    let nodes = ["in", "m1", "m2", "m3", "out"];
    for (k, (f0, q)) in [(690.0, 3.0), (710.0, 3.0), (640.0, 2.2), (760.0, 2.2)]
        .into_iter()
        .enumerate()
    {
        let (from, to) = (nodes[k], nodes[k + 1]);
        let (a, b) = (format!("a{k}"), format!("b{k}"));
        let name = |kind: &str, place: usize| format!("{kind}{}{place}", k + 1);
        let omega = std::f64::consts::TAU * f0;
        board = if k % 2 == 0 {
            // Low-pass, equal resistors: C1 = 2Q/(ωR) fed back, C2 = 1/(2QωR) to 0 V.
            let r = 47e3;
            board
                .r(&name("R", 1), r, from, &a)
                .r(&name("R", 2), r, &a, &b)
                .c(&name("C", 1), 2.0 * q / (omega * r), &a, to)
                .c(&name("C", 2), 1.0 / (2.0 * q * omega * r), &b, "0")
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
/// by resistors alone changes two resistors per stage. Fewer are a compromise.
#[test]
fn a_cascade_takes_two_resistors_a_stage() {
    let circuit = cascade();
    let system = System::build(&circuit).expect("equations");
    let aim = asked(Some(550.0), Width::InProportion, None);
    let bench = Bench::new(&circuit, &system, Series::E96, aim);
    let judge = |v: &Variants| bench.judge(v);
    let all: Vec<usize> = (0..8).collect();
    let (values, error) = best_free(&bench.places, &all, &judge).expect("an answer");
    assert!(error < 0.02, "{error}");
    for (place, value) in bench.places.iter().zip(values) {
        let off = value / place.now * bench.wanted.pitch_hz;
        assert!((off / 700.0).ln().abs() < 0.03, "{off}");
    }
    let found = bench.frontier(8);
    let told = bench.told(&found);
    let best = found.last().expect("an answer");
    assert_eq!(best.swaps.len(), 8, "{told}");
    // Preferred values alone are off by less than a listener notices; seven swaps are not.
    assert!(best.error < 0.7, "{told}");
    for fewer in &found[..found.len() - 1] {
        assert!(fewer.error > 1.5 * best.error, "{told}");
    }
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
    let best = found.iter().find(|s| s.swaps.len() == 2).expect("an answer");
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
        bench.eyes.bands(v).into_iter().map(|b| b.map(|b| b.0)).collect()
    };
    let width = |v: &Variants| -> Vec<Option<f64>> {
        bench.eyes.bands(v).into_iter().map(|b| b.map(|b| b.1)).collect()
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
    assert!((still.greatest / still.least - 1.0).abs() < 1e-3, "{still:?}");
}
