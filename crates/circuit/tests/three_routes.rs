//! Three routes to one response: the sweep, poles with residues, and the Fourier transform of
//! what the circuit does in time (stepped exactly, and simulated).

use circuit::ac::{Solver, sweep};
use circuit::figures::Study;
use circuit::poles::{poles, residues};
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::transient::{Drive, Key, Mode, Request, keyed_envelope, simulate};
use circuit::{Circuit, Supply};
use num_complex::Complex64;
use numeric::{DyadicExponential, Fourier};
use parts::OpampModel;
use std::f64::consts::TAU;
use testkit::{Board, awkward, four_stage_box, jfet_opamp, tolerance};
use units::{Decibels, Hertz, Seconds, Volts};

fn three_stages(model: &OpampModel) -> Circuit {
    let mut circuit = Board::new("three stages")
        .multiple_feedback(1, [640.0, 5.0, 1.0, 10e-9], model, ["in", "s1"])
        .multiple_feedback(2, [700.0, 4.0, 1.2, 10e-9], model, ["s1", "s2"])
        .multiple_feedback(3, [760.0, 6.0, 1.0, 10e-9], model, ["s2", "out"])
        .finish();
    circuit.supply = Some(Supply {
        voltage: Volts(9.0),
        lowest: None,
        capacity: None,
    });
    circuit
}

fn at(circuit: &Circuit, f_hz: f64) -> Complex64 {
    sweep(circuit, &[Hertz(f_hz)], &[circuit.output])
        .expect("a solution")
        .at(0, 0)
}

/// Sweep against poles and residues, whole boxes and awkward networks: what is left after the
/// sum of modes is the same constant at every frequency (what answers at once).
#[test]
fn modes_add_up_to_the_sweep() {
    let real = jfet_opamp();
    let mut subjects = vec![
        three_stages(&OpampModel::ideal()),
        three_stages(&real),
        four_stage_box(&real),
    ];
    for seed in 0..40 {
        let mut stream = awkward::Stream::new(seed);
        subjects.push(awkward::network(&mut stream, &real, 1 + seed as usize % 3));
    }
    let mut compared = 0;
    for circuit in &subjects {
        let system = System::build(circuit).expect("a sound circuit");
        let mut solver = Solver::new(&system).expect("an order");
        let roots = poles(&StateSpace::reduce(&system).expect("a reduction")).expect("poles");
        let Some(modes) = residues(&mut solver, &roots, circuit.output) else {
            continue;
        };
        compared += 1;
        let frequencies = [50.0, 300.0, 640.0, 700.0, 1000.0, 5000.0];
        let rest: Vec<(Complex64, f64)> = frequencies
            .iter()
            .map(|&f| {
                let s = Complex64::new(0.0, TAU * f);
                let terms: Vec<Complex64> = modes.iter().map(|m| m.at(s)).collect();
                let scale = terms.iter().map(|t| t.norm()).fold(1e-3, f64::max);
                (at(circuit, f) - terms.iter().sum::<Complex64>(), scale)
            })
            .collect();
        for (value, scale) in &rest {
            let error = (value - rest[0].0).norm();
            assert!(
                error < 1e-6 * scale.max(rest[0].1),
                "{}: {rest:?}",
                circuit.title
            );
        }
    }
    assert!(compared > 30, "only {compared} circuits with simple poles");
}

/// Sweep against the transform of the impulse response, stepped exactly: 2¹⁵ samples at
/// 400 kHz, by when the slowest pole has decayed by 1e-17 and beyond which |H| is under 1e-8.
#[test]
fn transform_of_the_exact_impulse_response() {
    for model in [OpampModel::ideal(), jfet_opamp()] {
        let circuit = three_stages(&model);
        let system = System::build(&circuit).expect("a sound circuit");
        let space = StateSpace::reduce(&system).expect("a reduction");
        let (count, rate) = (1_usize << 15, 400e3);
        let chain = DyadicExponential::new(space.a(), 1.0 / rate, 0);
        let step = chain.power(chain.levels() - 1);
        let c = space.c(circuit.output);
        let mut state = space.b().clone();
        let mut samples = Vec::with_capacity(count);
        for _ in 0..count {
            samples.push(Complex64::from((&c * &state)[0] / rate));
            state = step * state;
        }
        Fourier::new(count).forward(&mut samples);
        let peak = at(&circuit, 700.0).norm();
        for bin in [10, 40, 53, 57, 60, 80, 200] {
            let expected = at(&circuit, bin as f64 * rate / count as f64);
            let error = (samples[bin] - expected).norm();
            // The first sample is met from one side only: half of h(0), which is amplifier-fast.
            assert!(
                error < 2e-6 * peak,
                "bin {bin}: {} {expected}",
                samples[bin]
            );
        }
    }
}

/// Sweep against the transform of a simulated step: differences of the step response are the
/// impulse response through a box one step long. The simulation's error is that of its step,
/// (ωh)²/12 of the frequency: 6e-6 at h = 2 µs, times 2Q of the phase.
#[test]
fn transform_of_the_simulated_step() {
    let circuit = three_stages(&jfet_opamp());
    let step = 2e-6;
    let request = Request::new(Seconds(0.08), Seconds(step), Mode::Linear);
    let drive = Drive::Step { height: Volts(1.0) };
    let trace = simulate(&circuit, &drive, &request).expect("a simulation");
    let samples = &trace.output;
    let peak = at(&circuit, 700.0).norm();
    for f in [300.0, 600.0, 650.0, 700.0, 750.0, 1200.0] {
        let turn = |k: usize| Complex64::cis(-TAU * f * (k as f64 + 0.5) * step);
        let sum: Complex64 = samples
            .windows(2)
            .enumerate()
            .map(|(k, w)| turn(k) * (w[1] - w[0]))
            .sum();
        let x = std::f64::consts::PI * f * step;
        let found = sum * (x / x.sin());
        let expected = at(&circuit, f);
        assert!(
            (found - expected).norm() < 3e-4 * peak,
            "{f} Hz: {found} {expected}"
        );
    }
}

/// Tail by exact stepping against the tail of a simulated keyed tone (TAIL: 0.1 % or 10 µs).
#[test]
fn tail_agrees_with_the_simulated_tone() {
    for circuit in [
        three_stages(&jfet_opamp()),
        three_stages(&OpampModel::ideal()),
    ] {
        let key = Key {
            frequency: Hertz(700.0),
            peak: Volts(1.0),
            down: Seconds(0.06),
            after: Seconds(0.05),
        };
        let envelope =
            keyed_envelope(&circuit, &key, Seconds(4e-6), Mode::Linear).expect("a simulation");
        let system = System::build(&circuit).expect("a sound circuit");
        let mut study = Study::new(&circuit, &system).expect("a solution");
        let ringdown = study.ringdown(700.0).expect("it dies out");
        for (down, level) in [(20.0, 0.1), (40.0, 0.01)] {
            let simulated = envelope.tail(Decibels(down)).expect("a tail").0;
            let exact = ringdown.last_above(level);
            let near = tolerance::TAIL.allows(exact, simulated)
                || tolerance::TAIL_FLOOR.allows(exact, simulated);
            assert!(near, "{down} dB: {exact} against {simulated}");
        }
        let overshoot = 20.0 * ringdown.overshoot().log10();
        assert!((overshoot - envelope.overshoot().0).abs() < 0.01);
    }
}

/// Physical invariants over awkward networks: passive ones are stable and reciprocal (the
/// current into a short at one end for a volt at the other is the same both ways, so with equal
/// source and load impedance the transfer is too).
#[test]
fn passive_networks_are_stable_and_reciprocal() {
    for seed in 0..60 {
        let mut stream = awkward::Stream::new(seed);
        let mut circuit = awkward::network(&mut stream, &OpampModel::ideal(), 3);
        circuit.parts.retain(|p| !p.reference.starts_with('U'));
        circuit.source = units::Ohms(600.0);
        circuit.load = Some(units::Ohms(600.0));
        let system = System::build(&circuit).expect("a sound circuit");
        let mut study = Study::new(&circuit, &system).expect("a solution");
        assert!(study.is_stable(), "seed {seed}: {:?}", study.poles());
        let mut turned = circuit.clone();
        (turned.input, turned.output) = (circuit.output, circuit.input);
        for f in [30.0, 700.0, 12e3] {
            let (there, back) = (study.gain(f), at(&turned, f));
            let error = (there - back).norm();
            assert!(
                error <= 1e-9 * there.norm() + 1e-17,
                "seed {seed} {f} Hz: {there} {back}"
            );
        }
    }
}
