//! Notches of handbooks as circuits: where the null lies and how sharp it is.

use circuit::Circuit;
use circuit::figures::Study;
use circuit::poles::{Root, poles, zeros};
use circuit::state_space::StateSpace;
use circuit::system::System;
use parts::OpampModel;
use std::f64::consts::TAU;
use testkit::{Board, tolerance};

const F0: f64 = 1000.0;
const C: f64 = 10e-9;

/// 1/(2π f0 C).
fn r() -> f64 {
    1.0 / (TAU * F0 * C)
}

fn roots(circuit: &Circuit) -> (Vec<Root>, Vec<Root>) {
    let system = System::build(circuit).expect("a sound circuit");
    let space = StateSpace::reduce(&system).expect("a reduction");
    (
        poles(&space).expect("poles"),
        zeros(&system, circuit.output).expect("zeros"),
    )
}

fn gains<const N: usize>(circuit: &Circuit, at_hz: [f64; N]) -> [f64; N] {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    at_hz.map(|f| study.gain(f).re)
}

/// The only pair among the roots.
fn pair(roots: &[Root]) -> Root {
    let mut pairs = roots.iter().filter(|r| r.is_pair());
    let only = *pairs.next().expect("a pair");
    assert!(pairs.next().is_none(), "{roots:?}");
    only
}

fn check_null(found: &[Root], what: &str) {
    let null = pair(found);
    tolerance::POLE.check(what, null.f_hz, F0);
    assert!(
        null.re_rad_s.abs() < 1e-9 * null.im_rad_s,
        "{what}: {null:?}"
    );
}

/// Published figure [OAFE, §16.6]: the passive twin-T has Q = 0.25. Its poles are real,
/// `−(2 ∓ √3)ω0` (closed form), so Q is `√(p1p2)/(p1 + p2)`; and its half-power edges are four
/// times f0 apart, at `f0(√5 ∓ 2)`.
#[test]
fn passive_twin_t() {
    let circuit = Board::new("twin-T")
        .r("R1", r(), "in", "a")
        .r("R2", r(), "a", "out")
        .c("C3", 2.0 * C, "a", "0")
        .c("C1", C, "in", "b")
        .c("C2", C, "b", "out")
        .r("R3", r() / 2.0, "b", "0")
        .finish();
    let (poles, zeros) = roots(&circuit);
    check_null(&zeros, "null");
    let mut real: Vec<f64> = poles.iter().map(|p| -p.re_rad_s / (TAU * F0)).collect();
    assert!(poles.iter().all(|p| p.im_rad_s == 0.0), "{poles:?}");
    real.sort_by(f64::total_cmp);
    let (slow, fast) = (real[0], real[real.len() - 1]);
    tolerance::POLE.check("slow", slow, 2.0 - 3_f64.sqrt());
    tolerance::POLE.check("Q", (slow * fast).sqrt() / (slow + fast), 0.25);
    let system = System::build(&circuit).expect("a sound circuit");
    let mut study = Study::new(&circuit, &system).expect("a solution");
    for edge in [5_f64.sqrt() - 2.0, 5_f64.sqrt() + 2.0] {
        tolerance::AC_IDEAL.check("edge", study.gain(F0 * edge).norm_sqr(), 0.5);
    }
}

/// Published equations [OAFE, §16.6]: active Wien–Robinson notch, `Q = (1 + α)/3`,
/// `A0 = −β/(1 + α)`, and its design rule `α = 3Q − 1`, `β = 3Q·|A0|`. The bridge `1 − 3s/(s² + 3s + 1)`
/// stands between the summer (input R/β, feedback R and R/α) and the output; U2 takes the
/// difference at half its size, U3 turns it and doubles it.
#[test]
fn wien_robinson() {
    for (q, a0) in [(10.0, 1.0), (2.0, 3.0), (1.0 / 3.0, 0.5)] {
        let (alpha, beta) = (3.0 * q - 1.0, 3.0 * q * a0);
        let ideal = OpampModel::ideal();
        let mut board = Board::new("Wien–Robinson")
            .r("R1", 10e3 / beta, "in", "s")
            .r("R2", 10e3, "s", "x")
            .u("U1", &ideal, ["0", "s", "x"])
            .r("R4", r(), "x", "d")
            .c("C1", C, "d", "w")
            .r("R5", r(), "w", "0")
            .c("C2", C, "w", "0")
            .r("R6", 20e3, "x", "m")
            .r("R7", 10e3, "m", "y")
            .u("U2", &ideal, ["w", "m", "y"])
            .r("R8", 10e3, "y", "n")
            .r("R9", 20e3, "n", "out")
            .u("U3", &ideal, ["0", "n", "out"]);
        // α = 0 leaves the bridge alone: no feedback, Q a third.
        if alpha > 1e-9 {
            board = board.r("R3", 10e3 / alpha, "out", "s");
        }
        let circuit = board.finish();
        let (poles, zeros) = roots(&circuit);
        check_null(&zeros, "null");
        let sum: f64 = poles.iter().map(|p| -2.0 * p.re_rad_s).sum();
        // A pair is told once, real poles one by one.
        let found = match poles[..] {
            [one] => one.q.expect("a pair"),
            _ => TAU * F0 / (0.5 * sum),
        };
        tolerance::POLE.check("Q", found, q);
        for gain in gains(&circuit, [1e-3, 1e9]) {
            assert!((gain + a0).abs() < 1e-5, "{gain} for {a0}");
        }
    }
}

/// Published example [FRANCO, example 3.17]: a multiple-feedback band-pass of 1 kHz, Q 10 and
/// gain −1 (159.15 k, 799.8 Ω, 318.31 k, 10 nF) and a summer of three 10 k make a notch.
#[test]
fn band_pass_and_summer() {
    let ideal = OpampModel::ideal();
    let circuit = Board::new("one minus a band-pass")
        .multiple_feedback(1, [F0, 10.0, 1.0, C], &ideal, ["in", "bp"])
        .r("R4", 10e3, "in", "s")
        .r("R5", 10e3, "bp", "s")
        .r("R6", 10e3, "s", "out")
        .u("U2", &ideal, ["0", "s", "out"])
        .finish();
    for (reference, printed, decimals) in [
        ("R11", 159.15e3, -1),
        ("R12", 799.8, 1),
        ("R13", 318.31e3, -1),
    ] {
        let part = &circuit.parts[circuit.find_part(reference).expect("a part")];
        let circuit::Element::Resistor { value, .. } = part.element else {
            panic!("{reference} is a resistor");
        };
        assert!(tolerance::last_place(value.0, printed, decimals), "{value}");
    }
    let (poles, zeros) = roots(&circuit);
    check_null(&zeros, "null");
    let resonance = pair(&poles);
    tolerance::POLE.check("f0", resonance.f_hz, F0);
    tolerance::POLE.check("Q", resonance.q.expect("damped"), 10.0);
    for gain in gains(&circuit, [1e-3, 1e9]) {
        assert!((gain + 1.0).abs() < 1e-5, "{gain}");
    }
}
