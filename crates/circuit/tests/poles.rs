//! Poles, zeros and the reduction against closed forms and the sweep.

use circuit::ac::Solver;
use circuit::poles::{Root, poles, zeros};
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::{Circuit, NodeId};
use num_complex::Complex64;
use parts::OpampModel;
use std::f64::consts::TAU;
use testkit::{Board, awkward, tolerance};
use units::{Farads, Hertz, Ohms};

/// The textbook amplifier with nothing but a gain-bandwidth product.
fn integrator(gain_bandwidth: f64) -> OpampModel {
    OpampModel {
        dc_gain: 1e12,
        gain_bandwidth: Hertz(gain_bandwidth),
        ..OpampModel::ideal()
    }
}

fn roots(circuit: &Circuit) -> (Vec<Root>, Vec<Root>) {
    let system = System::build(circuit).expect("a sound circuit");
    let space = StateSpace::reduce(&system).expect("a reduction");
    (
        poles(&space).expect("poles"),
        zeros(&system, circuit.output).expect("zeros"),
    )
}

fn pair_near(roots: &[Root], f_hz: f64) -> Root {
    let distance = |r: &&Root| (r.f_hz.ln() - f_hz.ln()).abs();
    let pairs = roots.iter().filter(|r| r.is_pair());
    *pairs
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
        .expect("a pair")
}

/// Exact roots of the cubic s²+sω0/Q+ω0² + (s²·2Qω0 + s³ + sω0²)/GB, recomputed.
#[test]
fn finite_gain_bandwidth_moves_a_multiple_feedback_stage() {
    for ([f0, q, gbw], (f_shifted, f_decimals), (q_shifted, q_decimals)) in [
        ([1000.0, 10.0, 1e6], (990.147, 3), (10.0975, 4)),
        ([1000.0, 10.0, 3e6], (996.683, 3), (10.0331, 4)),
        ([1000.0, 10.0, 10e6], (999.001, 3), (10.0100, 4)),
        ([700.0, 7.0, 3e6], (698.859, 3), (7.0114, 4)),
        ([8000.0, 10.0, 1e6], (7427.5, 1), (10.653, 3)),
    ] {
        // Gain 2Q²: no ground leg, the case for which the cubic is written.
        let gain = 2.0 * q * q;
        let k = TAU * f0 * 10e-9;
        let circuit = Board::new("one stage")
            .r("R1", q / (gain * k), "in", "a")
            .c("C1", 10e-9, "a", "out")
            .c("C2", 10e-9, "a", "b")
            .r("R3", 2.0 * q / k, "b", "out")
            .u("U1", &integrator(gbw), ["0", "b", "out"])
            .finish();
        let found = pair_near(&roots(&circuit).0, f_shifted);
        let q_found = found.q.expect("damped");
        assert!(
            tolerance::last_place(found.f_hz, f_shifted, f_decimals),
            "{f0} {gbw}: {found:?}"
        );
        assert!(
            tolerance::last_place(q_found, q_shifted, q_decimals),
            "{f0} {gbw}: {found:?}"
        );
    }
}

/// Sallen–Key low-pass, unity gain and equal components: roots recomputed; the first-order law
/// of the second from memory of [FRANCO].
#[test]
fn finite_gain_bandwidth_moves_sallen_key_stages() {
    let (f0, q) = (1000.0, 2.0);
    let r = 10e3;
    let c = 1.0 / (TAU * f0 * r);
    let unity = Board::new("unity gain")
        .r("R1", r, "in", "a")
        .r("R2", r, "a", "b")
        .c("C1", 2.0 * q * c, "a", "out")
        .c("C2", c / (2.0 * q), "b", "0")
        .u("U1", &integrator(1e6), ["b", "out", "out"])
        .finish();
    let found = pair_near(&roots(&unity).0, f0);
    assert!(tolerance::last_place(found.f_hz, 998.005, 3), "{found:?}");
    assert!(
        tolerance::last_place(found.q.expect("damped"), 2.003_98, 5),
        "{found:?}"
    );

    let k = 3.0 - 1.0 / 5.0;
    let equal = Board::new("equal components")
        .r("R1", r, "in", "a")
        .r("R2", r, "a", "b")
        .c("C1", c, "a", "out")
        .c("C2", c, "b", "0")
        .r("R3", r, "m", "0")
        .r("R4", (k - 1.0) * r, "m", "out")
        .u("U1", &integrator(1e6), ["b", "m", "out"])
        .finish();
    let found = pair_near(&roots(&equal).0, f0);
    assert!(tolerance::last_place(found.f_hz, 996.10, 2), "{found:?}");
    assert!(
        tolerance::last_place(found.q.expect("damped"), 5.0190, 4),
        "{found:?}"
    );
}

/// Closed form: a chain of four equal stages has each pole four times; the zeros of a twin-T
/// (R, R, R/2, C, C, 2C) lie at ±j/RC and at −1/RC (where a pole cancels one).
#[test]
fn equal_stages_and_a_notch() {
    let (f0, q) = (700.0, 4.0);
    let mut board = Board::new("four equal stages");
    for (k, ends) in [["in", "s1"], ["s1", "s2"], ["s2", "s3"], ["s3", "out"]]
        .iter()
        .enumerate()
    {
        board = board.multiple_feedback(k + 1, [f0, q, 1.0, 10e-9], &OpampModel::ideal(), *ends);
    }
    let (poles, zeros) = roots(&board.finish());
    assert_eq!(poles.len(), 4, "{poles:?}");
    for pole in &poles {
        // A fourfold root of a problem known to 1e-16 is known to 1e-4.
        assert!((pole.f_hz / f0 - 1.0).abs() < 1e-3, "{pole:?}");
    }
    let mean: f64 = poles.iter().map(|p| p.re_rad_s).sum::<f64>() / 4.0;
    tolerance::POLE.check("mean of the cluster", mean, -TAU * f0 / (2.0 * q));
    assert_eq!(zeros.len(), 4, "{zeros:?}");
    assert!(zeros.iter().all(|z| z.f_hz == 0.0), "{zeros:?}");

    let (r, c) = (10e3, 22e-9);
    let twin = Board::new("twin-T")
        .r("R1", r, "in", "a")
        .r("R2", r, "a", "out")
        .c("C3", 2.0 * c, "a", "0")
        .c("C1", c, "in", "b")
        .c("C2", c, "b", "out")
        .r("R3", r / 2.0, "b", "0")
        .finish();
    let null = pair_near(&roots(&twin).1, 1.0 / (TAU * r * c));
    tolerance::POLE.check("null", null.im_rad_s, 1.0 / (r * c));
    assert!(null.re_rad_s.abs() < 1e-9 * null.im_rad_s);
}

/// Closed form: each coupling capacitor makes a zero at 0; R and C in series from the signal to
/// ground make one at −1/RC, here a thousand times slower than any tone.
#[test]
fn coupling_capacitors_beside_slow_zeros() {
    let circuit = Board::new("two couplings")
        .c("C1", 470e-9, "in", "a")
        .r("R1", 100e3, "a", "0")
        .r("R2", 50e3, "a", "p")
        .c("C2", 10e-6, "p", "0")
        .u("U1", &OpampModel::ideal(), ["a", "x", "x"])
        .c("C3", 220e-9, "x", "out")
        .r("R3", 47e3, "out", "0")
        .r("R4", 1e6, "out", "q")
        .c("C4", 10e-6, "q", "0")
        .finish();
    let zeros = roots(&circuit).1;
    assert_eq!(zeros.len(), 4, "{zeros:?}");
    assert!(zeros[..2].iter().all(|z| z.f_hz == 0.0), "{zeros:?}");
    tolerance::POLE.check("slowest", zeros[2].re_rad_s, -0.1);
    tolerance::POLE.check("slow", zeros[3].re_rad_s, -2.0);
    assert!(zeros.iter().all(|z| !z.is_pair()), "{zeros:?}");
}

/// Closed form: a zero at 0 is one by its equations, not by being slow. A capacitor that leaks has
/// its zero at −1/RC, here 1e-10 rad/s; a difference amplifier whose resistors balance in
/// decimals, though no two of their conductances do in doubles, has one at 0 exactly, and one
/// resistor off by a part in 1e12 moves it away from there by as much.
#[test]
fn zeros_at_nothing_and_next_to_it() {
    let leaky = Board::new("leaky coupling")
        .c("C1", 10e-3, "in", "out")
        .r("R1", 1e12, "in", "out")
        .r("R2", 10e3, "out", "0")
        .finish();
    let zeros = roots(&leaky).1;
    assert_eq!(zeros.len(), 1, "{zeros:?}");
    tolerance::POLE.check("leak", zeros[0].re_rad_s, -1e-10);

    // H = (1 + R2/R1)/(1 + R3/R4 + s R3 C) − R2/R1, nothing at 0 where R2/R1 = R4/R3.
    let difference = |r4: f64| {
        let board = Board::new("difference amplifier")
            .r("R1", 1.1e3, "in", "a")
            .r("R2", 3.3e3, "a", "out")
            .r("R3", 4.7e3, "in", "b")
            .r("R4", r4, "b", "0")
            .c("C1", 100e-9, "b", "0")
            .u("U1", &OpampModel::ideal(), ["b", "a", "out"])
            .finish();
        roots(&board).1
    };
    let balanced = difference(14.1e3);
    assert_eq!(balanced.len(), 1, "{balanced:?}");
    assert!(balanced[0].f_hz == 0.0, "{balanced:?}");
    let off = difference(14.1e3 * (1.0 + 1e-9));
    // With x = R3/R4: s R3 C R2/R1 = 1 − x R2/R1, and x R2/R1 = 1 − 1e-9, known to rounding: 1e-7.
    let wanted = 1e-9 / (3.0 * 4.7e3 * 100e-9);
    assert!((off[0].re_rad_s / wanted - 1.0).abs() < 1e-6, "{off:?}");
}

/// Two routes: the reduction's transfer against the sweep, on awkward random networks, at every
/// node; and poles are where the equations are singular: the product form
/// `H(s) ∝ Π(s − z)/Π(s − p)` reproduces the sweep's ratios.
#[test]
fn reduction_and_product_form_agree_with_the_sweep() {
    let real = OpampModel {
        dc_gain: 1e5,
        gain_bandwidth: Hertz(1e6),
        input_resistance: Ohms(2e6),
        input_capacitance: Farads(2e-12),
        output_resistance: Ohms(75.0),
        ..OpampModel::ideal()
    };
    for seed in 0..60 {
        for model in [&OpampModel::ideal(), &real] {
            let mut stream = awkward::Stream::new(seed);
            let circuit = awkward::network(&mut stream, model, 1 + seed as usize % 3);
            check_routes(&circuit, seed);
        }
    }
}

fn check_routes(circuit: &Circuit, seed: u64) {
    let system = System::build(circuit).expect("a sound circuit");
    let Ok(mut solver) = Solver::new(&system) else {
        return; // a capacitor straight between two ideal outputs, say
    };
    let space = StateSpace::reduce(&system).expect("a reduction");
    let poles = space.poles().expect("poles");
    let nodes: Vec<NodeId> = (1..circuit.nodes.len()).map(NodeId).collect();
    let at = |s: Complex64, solver: &mut Solver<'_>| -> Vec<Complex64> {
        solver.factor(s).expect("no resonance");
        let x = solver.forward().to_vec();
        nodes
            .iter()
            .map(|&n| system.voltage(n).map_or(Complex64::ZERO, |k| x[k]))
            .collect()
    };
    for f in [30.0, 400.0, 700.0, 3000.0] {
        let s = Complex64::new(0.0, TAU * f);
        let direct = at(s, &mut solver);
        let scale = direct.iter().map(|v| v.norm()).fold(0.0, f64::max);
        for (node, expected) in nodes.iter().zip(&direct) {
            let found = space.transfer(s, *node).expect("no pole");
            assert!(
                (found - expected).norm() <= 1e-7 * scale,
                "seed {seed} {f} Hz {node:?}: {found} {expected}"
            );
        }
    }
    let Ok(nulled) =
        StateSpace::reduce(&system.with_output_nulled(circuit.output).expect("a node"))
    else {
        return; // the output never sees the source
    };
    let zeros = nulled.poles().expect("zeros");
    let product = |s: Complex64| -> Complex64 {
        let top: Complex64 = zeros.iter().map(|z| (s - z).ln()).sum();
        let bottom: Complex64 = poles.iter().map(|p| (s - p).ln()).sum();
        top - bottom
    };
    let out = nodes
        .iter()
        .position(|&n| n == circuit.output)
        .expect("an output");
    let reference = Complex64::new(0.0, TAU * 500.0);
    let (h0, l0) = (at(reference, &mut solver)[out], product(reference));
    for f in [300.0, 600.0, 1100.0] {
        let s = Complex64::new(0.0, TAU * f);
        let found = (product(s) - l0).exp();
        let expected = at(s, &mut solver)[out] / h0;
        assert!(
            (found / expected - 1.0).norm() < 1e-6,
            "seed {seed} {f} Hz: {found} {expected} {}",
            circuit.title
        );
    }
}

/// [FRANCO, example 6.9]: two-integrator loop of three amplifiers, Δf0/f0 ≈ −f0/ft and
/// ΔQ/Q ≈ +4Q f0/ft to first order in f0/ft and in 1/Q: input and damping
/// resistor load the first integrator and add 1/Q = 0.04 of the shift of f0.
#[test]
fn finite_gain_bandwidth_moves_a_two_integrator_loop() {
    let (f0, q, ft) = (10e3, 25.0, 1e9);
    let (r, model) = (10e3, integrator(ft));
    let c = 1.0 / (TAU * f0 * r);
    let circuit = Board::new("two-integrator loop")
        .r("R1", q * r, "in", "a")
        .r("R2", q * r, "a", "x")
        .c("C1", c, "a", "x")
        .u("U1", &model, ["0", "a", "x"])
        .r("R3", r, "x", "b")
        .c("C2", c, "b", "y")
        .u("U2", &model, ["0", "b", "y"])
        .r("R4", r, "y", "d")
        .r("R5", r, "d", "out")
        .u("U3", &model, ["0", "d", "out"])
        .r("R6", r, "out", "a")
        .finish();
    let found = pair_near(&roots(&circuit).0, f0);
    let f_shift = (found.f_hz / f0 - 1.0) / (-f0 / ft);
    let q_shift = (found.q.expect("damped") / q - 1.0) / (4.0 * q * f0 / ft);
    assert!((f_shift - 1.0).abs() < 0.05, "{f_shift}");
    assert!((q_shift - 1.0).abs() < 0.05, "{q_shift}");
}
