//! Routes that must agree: the transient, the AC sweep and the poles and residues.
//!
//! The transient shares no equations with the other two. Two runs, one with half the step,
//! are extrapolated to a step of nothing (Richardson), which leaves an error of higher
//! order (eightfold less for half the step, as seen when these tests were written).

use std::f64::consts::PI;

use circuit::ac::Solver;
use circuit::dc::operating_point;
use circuit::figures::Study;
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::transient::{Drive, Key, Mode, Request, keyed_envelope, simulate};
use circuit::{Circuit, Element, read};
use num_complex::Complex64;
use numeric::Fourier;
use parts::OpampModel;
use testkit::awkward::{Stream, network};
use testkit::{Board, tolerance};
use units::{Decibels, Hertz, Ohms, Seconds, Volts};

use crate::board::ordinary;

/// Steps in a pulse for circuits whose modes lie in the band compared, and for networks
/// that have modes far above it: the error left after extrapolation is of third order.
const STEPS: usize = 150;
const STEPS_FOR_FAST_MODES: usize = 600;
/// Length of the pulse, s: its spectrum has its first null at 5 kHz.
const PULSE: f64 = 0.6e-3;
/// The band compared, Hz.
const BAND: (f64, f64) = (40.0, 2500.0);

/// The AC side, diodes at their operating point.
fn system(circuit: &Circuit) -> System {
    let point = operating_point(circuit).expect("a point of rest");
    System::build_biased(circuit, |diode| point.conductance_s(diode)).expect("a sound circuit")
}

/// Time constant of the slowest mode that the output shows, if all modes die out.
fn slowest(system: &System) -> Option<f64> {
    let poles = StateSpace::reduce(system).ok()?.poles().ok()?;
    let least = poles.iter().map(|p| -p.re).fold(f64::INFINITY, f64::min);
    (least > 0.0).then(|| 1.0 / least)
}

/// Response at the bins of the band by the Fourier transform of a pulse's response.
fn by_transform(circuit: &Circuit, length: f64, step: f64, mode: Mode) -> Vec<(f64, Complex64)> {
    let count = (PULSE / step).round() as usize;
    let pulse = |k: usize| 1e-3 * (PI * k as f64 / count as f64).sin().powi(4);
    let drive = Drive::Samples {
        spacing: Seconds(step),
        volts: (0..=count).map(pulse).collect(),
    };
    let request = Request::new(Seconds(length), Seconds(step), mode);
    let trace = simulate(circuit, &drive, &request).expect("a trace");
    let rest = trace.output[0];
    let points = trace.output.len() - 1;
    let spectrum = |samples: &[f64], rest: f64| {
        let mut x: Vec<Complex64> = samples[..points]
            .iter()
            .map(|v| Complex64::new(v - rest, 0.0))
            .collect();
        Fourier::new(points).forward(&mut x);
        x
    };
    let (given, got) = (spectrum(&trace.source, 0.0), spectrum(&trace.output, rest));
    let spacing = 1.0 / (points as f64 * step);
    (1..points / 2)
        .map(|k| (k, k as f64 * spacing))
        .filter(|(_, f)| (BAND.0..BAND.1).contains(f))
        .map(|(k, f)| (f, got[k] / given[k]))
        .collect()
}

/// Two routes: the transform of the transient against the AC solver over the band.
fn check(circuit: &Circuit, length: f64, steps: usize, mode: Mode) {
    let system = system(circuit);
    let mut solver = Solver::new(&system).expect("a solution");
    // Steps that divide the same length, so that both runs have the same bins.
    let step = PULSE / steps as f64;
    let length = (length / PULSE).ceil() * PULSE;
    let coarse = by_transform(circuit, length, step, mode);
    let fine = by_transform(circuit, length, step / 2.0, mode);
    assert!(coarse.len() > 20 && coarse.len() == fine.len());
    let mut pairs = Vec::new();
    for ((f, h), (_, half)) in coarse.iter().zip(&fine) {
        let extrapolated = (half * 4.0 - h) / 3.0;
        let swept = solver.transfer(*f, circuit.output).expect("a response");
        pairs.push((*f, extrapolated, swept));
    }
    let greatest = pairs.iter().fold(0.0_f64, |m, (_, _, h)| m.max(h.norm()));
    for (f, found, wanted) in pairs {
        let apart = (found - wanted).norm() / greatest;
        assert!(
            apart <= tolerance::TRANSIENT_RESPONSE.value,
            "{} at {f} Hz: {found} against {wanted}, {apart:.1e} of the greatest",
            circuit.title
        );
    }
}

fn fixture(name: &str, text: &str) -> Circuit {
    read(name, text).unwrap_or_else(|complaints| panic!("{complaints}"))
}

/// Coupling and decoupling capacitors make tails of seconds that do nothing in the band; a
/// thousandth of their value leaves the topology and makes the pulse's response end.
fn without_slow_parts(mut circuit: Circuit) -> Circuit {
    for part in &mut circuit.parts {
        if let Element::Capacitor { value, .. } = &mut part.element
            && value.0 > 0.5e-6
        {
            value.0 *= 1e-2;
        }
    }
    circuit
}

fn every_amplifier(mut circuit: Circuit, model: &OpampModel) -> Circuit {
    for part in &mut circuit.parts {
        if let Element::Opamp(opamp) = &mut part.element {
            opamp.model = model.clone();
        }
    }
    circuit
}

macro_rules! every_fixture {
    ($($name:ident),*) => {$(
        #[test]
        fn $name() {
            let text = include_str!(concat!("../circuits/", stringify!($name), ".toml"));
            let circuit = without_slow_parts(fixture(stringify!($name), text));
            for circuit in [every_amplifier(circuit.clone(), &OpampModel::ideal()), circuit] {
                let slowest = slowest(&system(&circuit)).expect("it dies out");
                // e⁻¹⁶ = 1e-7 of the start is left.
                let length = PULSE + 16.0 * slowest;
                assert!(length < 0.7, "{length} s of transient is too much for a test");
                check(&circuit, length.max(0.03), STEPS, Mode::Linear);
                check(&circuit, length.max(0.03), STEPS, Mode::Full);
            }
        }
    )*};
}

every_fixture!(
    buffered_mid,
    diode_limiter,
    mfb_one_stage,
    mfb_two_stages,
    passive_rc,
    sallen_key_pair,
    state_variable,
    twin_t
);

/// Two routes on networks nobody designed: the first of each seed's that die out in time.
#[test]
fn invented_networks() {
    let mut stream = Stream::new(0x7a2c_1996);
    let mut compared = 0;
    for trial in 0..200 {
        let model = match trial % 2 {
            0 => OpampModel::ideal(),
            _ => OpampModel {
                // Off the rails' middle the plus inputs at 0 V would be out of range.
                offset: Volts(0.0),
                ..ordinary()
            },
        };
        let stages = 1 + stream.below(3);
        let mut circuit = network(&mut stream, &model, stages);
        circuit.source = Ohms(100.0);
        if trial % 2 == 1 {
            // Only the small signal is asked for, so any supply will do.
            circuit.supply = Some(circuit::Supply {
                voltage: Volts(9.0),
                lowest: None,
                capacity: None,
            });
        }
        let Ok(system) = System::build(&circuit) else {
            continue;
        };
        let Some(slowest) = slowest(&system).filter(|t| *t < 4e-3) else {
            continue;
        };
        let length = (PULSE + 18.0 * slowest).max(0.03);
        check(&circuit, length, STEPS_FOR_FAST_MODES, Mode::Linear);
        compared += 1;
        if compared == 12 {
            break;
        }
    }
    assert_eq!(compared, 12);
}

/// The judge of the tail: 0.1 % or 10 µs between the state space and the transient.
#[test]
fn tails_agree() {
    let real = OpampModel {
        bias_current: units::Amperes(0.0),
        ..ordinary()
    };
    let stage = |f0: f64, q: f64| [f0, q, 1.0, 10e-9];
    for model in [OpampModel::ideal(), real] {
        let circuits = [
            (
                Board::new("one stage").multiple_feedback(
                    1,
                    stage(650.0, 5.0),
                    &model,
                    ["in", "out"],
                ),
                60e-3,
            ),
            (
                Board::new("two stages")
                    .multiple_feedback(1, stage(620.0, 6.0), &model, ["in", "a"])
                    .multiple_feedback(2, stage(690.0, 6.0), &model, ["a", "out"]),
                80e-3,
            ),
            (
                Board::new("sharp")
                    .multiple_feedback(1, stage(700.0, 15.0), &model, ["in", "a"])
                    .multiple_feedback(2, stage(700.0, 4.0), &model, ["a", "out"]),
                150e-3,
            ),
        ];
        for (board, down) in circuits {
            let mut circuit = board.finish();
            circuit.supply = Some(circuit::Supply {
                voltage: Volts(9.0),
                lowest: None,
                capacity: None,
            });
            judge_tail(&circuit, 655.0, down);
        }
    }
}

fn judge_tail(circuit: &Circuit, pitch: f64, down: f64) {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    let found = study.ringing(pitch, 22.0, &[]);
    let key = Key {
        frequency: Hertz(pitch),
        peak: Volts(1.0),
        down: Seconds(down),
        after: Seconds(60e-3),
    };
    let envelope = keyed_envelope(circuit, &key, Seconds(4e-6), Mode::Linear).expect("an envelope");
    for (decibels, tail) in [(20.0, found.tail_20db_s), (40.0, found.tail_40db_s)] {
        let judged = envelope.tail(Decibels(decibels)).expect("it decays").0;
        let tail = tail.expect("it decays");
        assert!(
            tolerance::TAIL.allows(tail, judged) || tolerance::TAIL_FLOOR.allows(tail, judged),
            "{} to -{decibels} dB: {tail} s against {judged} s",
            circuit.title
        );
    }
    let overshoot = envelope.overshoot().0;
    let found = found.overshoot_db.expect("it settles");
    assert!(
        (found - overshoot).abs() < 1e-3,
        "{}: overshoot {found} dB against {overshoot} dB",
        circuit.title
    );
}
