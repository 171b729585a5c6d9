//! The published state-variable problem, solved exactly, and its solution as a circuit.

use circuit::poles::{Root, poles};
use circuit::state_space::StateSpace;
use circuit::system::System;
use filter::topology::{PlaceKind, Reached};
use filter::values::{Aim, FreeLoop, Measure, Shelf, search_loop};
use parts::Series;
use std::f64::consts::TAU;
use units::{Farads, Ohms};

/// R 1k..<1M and C 1n..<1u of one series.
fn shelf(series: Series) -> Shelf {
    let below = 1.0 - 1e-6;
    let resistors = series.values(Ohms(1e3), Ohms(1e6 * below));
    let capacitors = series.values(Farads(1e-9), Farads(1e-6 * below));
    Shelf::new(
        resistors.iter().map(|v| v.0).collect(),
        capacitors.iter().map(|v| v.0).collect(),
    )
}

/// The published equations, as they are printed: R1 to R6, C1, C2 (from memory).
fn printed([r1, r2, r3, r4, r5, r6]: [f64; 6], [c1, c2]: [f64; 2]) -> (f64, f64) {
    let w = (r4 / (r3 * r5 * r6 * c1 * c2)).sqrt();
    let q = r3 * (r1 + r2) / (r1 * (r3 + r4)) * (c1 * r4 * r5 / (c2 * r3 * r6)).sqrt();
    (w, q)
}

fn check(what: &str, found: f64, expected: f64, relative: f64) {
    assert!(
        (found / expected - 1.0).abs() <= relative,
        "{what}: {found:e} against {expected:e}"
    );
}

/// Least costs of the state-variable problem of [HORROCKS1993] and [VURAL2012], recomputed
/// outside this project by another exhaustive search: E12 1.4577e-6, E24 5.7386e-7.
#[test]
fn published_state_variable_problem() {
    for (series, cost, last_place) in [
        (Series::E12, 1.4577e-6, 1e-10),
        (Series::E24, 5.7386e-7, 1e-11),
    ] {
        let half = 0.5 * last_place / cost;
        let found =
            search_loop(&Aim::published_low_pass(1e4, 0.707), &shelf(series), 1.0).expect("a loop");
        check("cost", found.cost, cost, half);
        let (w, q) = printed(found.resistors, found.capacitors);
        check("w by the printed equation", w, found.reached.w0, 1e-12);
        check("Q by the printed equation", q, found.reached.q, 1e-12);
        let again = 0.5 * (w / 1e4 - 1.0).abs() + 0.5 * (q - 0.707).abs();
        check("cost by the printed equations", again, cost, half);
    }
}

/// Closed form, in whole numbers: of E96 there are parts that meet both targets exactly.
/// `w = 10⁴` is `10⁸·R3R5R6C1C2 = R4`, and then `Q = 0.707` is
/// `707·R1(R3 + R4) = 10⁷·R3(R1 + R2)R5C1`; ohms and units of 10 pF are whole here.
#[test]
fn e96_meets_the_state_variable_problem_exactly() {
    let found = search_loop(
        &Aim::published_low_pass(1e4, 0.707),
        &shelf(Series::E96),
        1.0,
    )
    .expect("a loop");
    let whole = |value: f64, unit: f64| -> i128 {
        let count = (value / unit).round();
        assert!((value / unit - count).abs() < 1e-6, "{value} is not whole");
        count as i128
    };
    let [r1, r2, r3, r4, r5, r6] = found.resistors.map(|r| whole(r, 1.0));
    let [c1, c2] = found.capacitors.map(|c| whole(c, 1e-11));
    assert_eq!(r3 * r5 * r6 * c1 * c2, r4 * 10_i128.pow(14), "{found:?}");
    assert_eq!(
        10 * r3 * (r1 + r2) * r5 * c1,
        707 * r1 * (r3 + r4) * 100_000,
        "{found:?}"
    );
}

/// The circuit of those parts, ideal amplifiers, low-pass output.
fn file(found: &FreeLoop) -> String {
    let mut text = String::from(
        "format = \"narrows circuit 1\"\ninput = \"in\"\noutput = \"lp\"\n\
         source = { impedance = \"0 ohm\" }\n",
    );
    let mut part = |body: String| text += &format!("[[part]]\n{body}\n");
    let ends = [
        ["in", "p"],
        ["bp", "p"],
        ["lp", "n"],
        ["hp", "n"],
        ["hp", "m"],
        ["bp", "k"],
    ];
    for (number, (ohms, [a, b])) in found.resistors.iter().zip(ends).enumerate() {
        part(format!(
            "ref = \"R{}\"\nkind = \"resistor\"\nvalue = \"{ohms} ohm\"\nbetween = [\"{a}\", \"{b}\"]",
            number + 1
        ));
    }
    for (number, (farads, [a, b])) in found
        .capacitors
        .iter()
        .zip([["bp", "m"], ["lp", "k"]])
        .enumerate()
    {
        part(format!(
            "ref = \"C{}\"\nkind = \"capacitor\"\nvalue = \"{:.6} nF\"\nbetween = [\"{a}\", \"{b}\"]",
            number + 1,
            farads * 1e9
        ));
    }
    for (number, [plus, minus, out]) in [["p", "n", "hp"], ["0", "m", "bp"], ["0", "k", "lp"]]
        .into_iter()
        .enumerate()
    {
        part(format!(
            "ref = \"U{}\"\nkind = \"opamp\"\ntype = \"ideal\"\nplus = \"{plus}\"\n\
             minus = \"{minus}\"\nout = \"{out}\"",
            number + 1
        ));
    }
    text
}

/// Two routes: the closed form the search uses, and the poles and the gain of the netlist.
#[test]
fn the_loop_as_a_circuit_does_what_was_searched_for() {
    for (w0, q) in [(1e4, 0.707), (4.4e3, 6.0)] {
        let found =
            search_loop(&Aim::published_low_pass(w0, q), &shelf(Series::E24), 1.0).expect("a loop");
        let circuit = circuit::read("loop.toml", &file(&found))
            .unwrap_or_else(|complaints| panic!("{complaints}"));
        let system = System::build(&circuit).expect("a sound circuit");
        let space = StateSpace::reduce(&system).expect("a reduction");
        let roots: Vec<Root> = poles(&space).expect("poles");
        assert_eq!(roots.len(), 1, "{roots:?}");
        check("w0", TAU * roots[0].f_hz, found.reached.w0, 1e-9);
        check("Q", roots[0].q.expect("damped"), found.reached.q, 1e-9);
        let mut study = circuit::figures::Study::new(&circuit, &system).expect("a solution");
        let gain = study.gain(1e-3).norm();
        check("gain at DC", gain, found.reached.gain, 1e-9);
    }
}

/// Slow judge: every combination of a shelf of four resistors and two capacitors, by the printed
/// equations; for targets in the middle, at the edge and out of reach, with either measure.
#[test]
fn nothing_on_a_small_shelf_is_better() {
    let shelf = Shelf::new(vec![4.7e3, 10e3, 22e3, 33e3], vec![10e-9, 22e-9]);
    for (w0, q) in [(5e3, 0.8), (4.1e3, 3.3), (1e4, 1.0), (40e3, 20.0)] {
        for measure in [Measure::Sum, Measure::Greatest] {
            let aim = Aim {
                measure,
                ..Aim::published_low_pass(w0, q)
            };
            let least = least(&aim, &shelf);
            let found = search_loop(&aim, &shelf, 1e3).expect("a loop");
            assert!(
                (found.cost - least).abs() < 1e-12,
                "{w0} {q}: {} against {least}",
                found.cost
            );
        }
    }
}

fn least(aim: &Aim, shelf: &Shelf) -> f64 {
    let (r, c) = (
        shelf.all(PlaceKind::Resistor),
        shelf.all(PlaceKind::Capacitor),
    );
    let mut least = f64::INFINITY;
    for code in 0..r.len().pow(6) * c.len().pow(2) {
        let mut rest = code;
        let mut take = |from: &[f64]| {
            let value = from[rest % from.len()];
            rest /= from.len();
            value
        };
        let capacitors = [take(c), take(c)];
        let resistors = std::array::from_fn(|_| take(r));
        let (w0, q) = printed(resistors, capacitors);
        let reached = Reached {
            w0,
            q,
            gain: 1.0,
            wz: None,
        };
        least = least.min(aim.cost(&reached));
    }
    least
}

/// A bound that no parts can meet finds nothing; an empty shelf neither.
#[test]
fn what_is_out_of_reach_is_said() {
    let aim = Aim::published_low_pass(1e4, 0.707);
    assert_eq!(search_loop(&aim, &shelf(Series::E12), 1e-6), None);
    assert_eq!(search_loop(&aim, &Shelf::new(vec![], vec![]), 1.0), None);
}
