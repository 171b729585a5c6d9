//! The transient against closed forms, physics and the trade's rule of slew.

use std::f64::consts::{FRAC_PI_2, TAU};

use circuit::Circuit;
use circuit::transient::{Drive, Key, Limit, Mode, Request, Trace, keyed_envelope, simulate};
use parts::OpampModel;
use units::{Decibels, Hertz, Ohms, Seconds, Volts};

use crate::board::{Board, ordinary};

/// Error coefficient of the rule for one mode, from `stepper.rs`, doubled for the start.
const RULE: f64 = 0.08;

fn run(circuit: &Circuit, drive: &Drive, length: f64, step: f64, mode: Mode) -> Trace {
    let request = Request::new(Seconds(length), Seconds(step), mode);
    simulate(circuit, drive, &request).expect("a trace")
}

fn step_of(volts: f64) -> Drive {
    Drive::Step {
        height: Volts(volts),
    }
}

fn sine(frequency: f64, peak: f64) -> Drive {
    Drive::Tone {
        frequency: Hertz(frequency),
        peak: Volts(peak),
        phase_rad: -FRAC_PI_2,
        until: None,
    }
}

fn greatest(samples: &[f64]) -> f64 {
    samples.iter().fold(0.0_f64, |m, x| m.max(x.abs()))
}

/// Amplitude of the harmonics 1 to 9 over the whole trace, which must hold whole periods.
fn harmonics(samples: &[f64], periods: usize) -> Vec<f64> {
    let n = samples.len() as f64;
    (1..10)
        .map(|h| {
            let w = TAU * (h * periods) as f64 / n;
            let (mut re, mut im) = (0.0, 0.0);
            for (k, x) in samples.iter().enumerate() {
                re += x * (w * k as f64).cos();
                im += x * (w * k as f64).sin();
            }
            2.0 * re.hypot(im) / n
        })
        .collect()
}

fn low_pass() -> Board {
    let mut board = Board::new();
    board.0.source = Ohms(1e3);
    board.r("R1", 9e3, "in", "out").c("C1", 1e-7, "out", "0");
    board
}

/// Closed form: 1 − e^(−t/RC), with the source's impedance in R.
#[test]
fn a_step_through_rc() {
    let board = low_pass();
    let trace = run(&board.0, &step_of(1.0), 5e-3, 1e-5, Mode::Full);
    for (k, v) in trace.output.iter().enumerate() {
        let meant = 1.0 - (-trace.time(k).0 / 1e-3).exp();
        assert!(
            (v - meant).abs() < RULE * 1e-4,
            "{v} is not {meant} at sample {k}"
        );
    }
}

/// Invariant of the method: half the step, a quarter of the error.
#[test]
fn the_rule_is_of_second_order() {
    let board = low_pass();
    let error = |step: f64| {
        let trace = run(&board.0, &step_of(1.0), 2e-3, step, Mode::Full);
        let end = trace.output.last().expect("samples");
        (end - (1.0 - (-2.0_f64).exp())).abs()
    };
    let ratio = error(4e-5) / error(2e-5);
    assert!((ratio - 4.0).abs() < 0.3, "the error falls {ratio}-fold");
}

/// Closed form: a series resonator rings down as e^(−Rt/2L) cos(…), and the jump of the
/// source between two samples is met where it falls.
#[test]
fn a_resonator_rings_down() {
    let (l, c, r) = (0.1, 1e-6, 20.0);
    let mut board = Board::new();
    board.l("L1", l, r, "in", "out").c("C1", c, "out", "0");
    let trace = run(&board.0, &step_of(1.0), 30e-3, 2e-6, Mode::Full);
    let alpha = r / (2.0 * l);
    let w = (1.0 / (l * c) - alpha * alpha).sqrt();
    let tolerance = RULE * (w * 2e-6_f64).powi(2) * w * 30e-3;
    for (k, v) in trace.output.iter().enumerate() {
        let t = trace.time(k).0;
        let ringing = (w * t).cos() + alpha / w * (w * t).sin();
        let meant = 1.0 - (-alpha * t).exp() * ringing;
        assert!((v - meant).abs() < tolerance, "{v} is not {meant} at {t}");
    }
}

/// Invariant: the energy a passive circuit is given is what it stores and turns to heat.
#[test]
fn energy_is_accounted_for() {
    let (l, c) = (0.05, 4.7e-7);
    let mut board = Board::new();
    board.0.source = Ohms(100.0);
    board
        .l("L1", l, 15.0, "in", "x")
        .c("C1", c, "x", "out")
        .r("R1", 330.0, "out", "0");
    let x = board.node("x");
    let input = board.node("in");
    let mut request = Request::new(Seconds(5e-3), Seconds(1e-6), Mode::Full);
    request.watch = vec![input, x];
    let trace = simulate(&board.0, &sine(900.0, 2.0), &request).expect("a trace");
    let [v_in, v_x] = [input, x].map(|n| trace.of(n).expect("watched").to_vec());
    let (mut given, mut heat) = (0.0, 0.0);
    let last = trace.output.len() - 1;
    for (k, (out, terminal)) in trace.output.iter().zip(&v_in).enumerate() {
        // Trapezoidal sums: the first and last sample count half.
        let share = if k == 0 || k == last { 0.5 } else { 1.0 };
        let i = out / 330.0;
        given += share * 1e-6 * trace.source[k] * i;
        heat += share * 1e-6 * i * i * (100.0 + 15.0 + 330.0);
        let by_source = (trace.source[k] - terminal) / 100.0;
        assert!(
            k == 0 || (by_source - i).abs() < 1e-12,
            "Kirchhoff at sample {k}"
        );
    }
    let i = trace.output[last] / 330.0;
    let stored = 0.5 * l * i * i + 0.5 * c * (v_x[last] - trace.output[last]).powi(2);
    // The sums are right to (ωh)²/12 of an oscillating integrand: 3e-6.
    assert!(
        (given - heat - stored).abs() < 1e-5 * given,
        "{given} {heat} {stored}"
    );
}

/// A multiple-feedback band-pass, 700 Hz, Q 5, gain −1, 10 nF (closed-form values).
fn band_pass(model: OpampModel) -> Board {
    let k = TAU * 700.0 * 1e-8;
    let ideal = model.is_ideal();
    let mut board = if ideal {
        Board::new()
    } else {
        Board::powered(12.0)
    };
    let mid = if ideal { "0" } else { "mid" };
    if !ideal {
        board.r("R8", 1.0, "vcc", "mid").r("R9", 1.0, "mid", "0");
        board.c("C8", 1e-4, "in", "a");
    }
    let input = if ideal { "in" } else { "a" };
    board
        .r("R1", 5.0 / k, input, "n")
        .r("R2", 5.0 / (49.0 * k), "n", mid);
    board
        .c("C1", 1e-8, "n", "out")
        .c("C2", 1e-8, "n", "m")
        .r("R3", 10.0 / k, "m", "out");
    board.u("U1A", model, mid, "m", "out");
    board
}

/// Closed form: the envelope of one resonator keyed at its centre decays with τ = Q/(π f₀)
/// (closed form; here Q 5 at 700 Hz: 2.2736 ms, −20 dB after 5.235 ms), to 0.1 %.
#[test]
fn the_tail_of_one_stage() {
    let key = Key {
        frequency: Hertz(700.0),
        peak: Volts(0.1),
        down: Seconds(60e-3),
        after: Seconds(20e-3),
    };
    let board = band_pass(OpampModel::ideal());
    for mode in [Mode::Linear, Mode::Full] {
        let envelope = keyed_envelope(&board.0, &key, Seconds(2e-6), mode).expect("an envelope");
        assert!(
            (envelope.settled() - 0.1).abs() < 1e-5,
            "{}",
            envelope.settled()
        );
        // e(t)/e(0) after key-up, from the residues of s/(s² + sω/Q + ω²) at s = jω:
        // the two poles p = −α ± jβ give a term each, and the envelope is their sum.
        let tail = envelope.tail(Decibels(20.0)).expect("it decays").0;
        let meant = closed_form_tail(700.0, 5.0, 20.0);
        assert!(
            (tail - meant).abs() < 1e-3 * meant,
            "{tail} s is not {meant} s"
        );
        assert!(
            (tail - 5.235e-3).abs() < 0.15e-3,
            "near the resonator's rule: {tail}"
        );
    }
}

/// Last time the envelope of a band-pass keyed off at its centre exceeds −`db`, from the
/// residues of its two poles, by walking back from far out in steps of 50 ns.
fn closed_form_tail(f0: f64, q: f64, db: f64) -> f64 {
    use num_complex::Complex64;
    let w = TAU * f0;
    let p = Complex64::new(-w / (2.0 * q), w * (1.0 - 1.0 / (4.0 * q * q)).sqrt());
    let j = Complex64::new(0.0, w);
    // H(s)/(s − jω) = Σ r/(s − p); after key-up the output is −Σ r e^{pt} at unit input.
    let residue = |p: Complex64, other: Complex64| (w / q) * p / ((p - other) * (p - j));
    let (a, b) = (residue(p, p.conj()), residue(p.conj(), p));
    let size = |t: f64| (a * (p * t).exp() + b * (p.conj() * t).exp()).norm();
    let level = 10_f64.powf(-db / 20.0);
    let mut t = 40e-3;
    while size(t) < level {
        t -= 5e-8;
    }
    t
}

/// The follower of an ordinary amplifier on a split supply's middle.
fn follower(model: OpampModel) -> Board {
    let mut board = Board::powered(30.0);
    board
        .r("R8", 1e4, "vcc", "mid")
        .r("R9", 1e4, "mid", "0")
        .c("C9", 1e-3, "mid", "0");
    board.c("C1", 1e-3, "in", "p").r("R1", 1e5, "p", "mid");
    board.u("U1A", model, "p", "out", "out");
    board
}

/// [FRANCO, example 6.8a]: full-power bandwidth SR/(2πV_p); 0.5 V/µs and 5 V
/// peak: 15.92 kHz. Just under it (the bend of the input stage begins at 90 %) the sine is
/// whole, well above it the output is a triangle of slope SR.
#[test]
fn the_slew_rate_limits_full_power() {
    let model = OpampModel {
        slew_v_per_s: 0.5e6,
        gain_bandwidth: Hertz(1e6),
        offset: Volts(0.0),
        ..ordinary()
    };
    let board = follower(model);
    let full_power = 0.5e6 / (TAU * 5.0);
    assert!((full_power - 15.92e3).abs() < 5.0);
    let trace_at = |share: f64| {
        let f = share * full_power;
        // 10 periods to settle, 10 to look at, 400 samples a period.
        let trace = run(
            &board.0,
            &sine(f, 5.0),
            20.0 / f,
            1.0 / (400.0 * f),
            Mode::Full,
        );
        let tail = trace.output[4000..8000].to_vec();
        let middle = tail.iter().sum::<f64>() / 4000.0;
        let swing: Vec<f64> = tail.iter().map(|v| v - middle).collect();
        let slewed = trace.overruns.iter().any(|o| o.limit == Limit::Slew);
        (f, swing, slewed)
    };
    let (_, under, slewed) = trace_at(0.85);
    let h = harmonics(&under, 10);
    assert!(!slewed && h[2] < 1e-4 * h[0], "whole at 85 %: {h:?}");
    let (f, over, slewed) = trace_at(2.0);
    // A triangle of slope SR and frequency f peaks at SR/(4f).
    let meant = 0.5e6 / (4.0 * f);
    let peak = greatest(&over);
    assert!(
        slewed && (peak / meant - 1.0).abs() < 0.03,
        "{peak} V is not {meant} V"
    );
    let h = harmonics(&over, 10);
    // Third harmonic of a triangle: 1/9.
    assert!((h[2] / h[0] - 1.0 / 9.0).abs() < 0.02, "{}", h[2] / h[0]);
}

/// Physics: a sine too large is cut at the swing on both sides, and recovers at once.
#[test]
fn the_output_clips_at_its_swing() {
    let board = follower(ordinary());
    let trace = run(&board.0, &sine(500.0, 18.0), 10e-3, 5e-6, Mode::Full);
    let top = trace.output.iter().fold(f64::MIN, |m, &x| m.max(x));
    let bottom = trace.output.iter().fold(f64::MAX, |m, &x| m.min(x));
    assert!(
        (top - 28.5).abs() < 0.06 && (bottom - 1.5).abs() < 0.06,
        "{bottom} to {top}"
    );
    let swing = trace
        .overruns
        .iter()
        .find(|o| o.limit == Limit::Swing)
        .expect("noticed");
    // 13.5 V of 18 V: asin(0.75)/(2π 500 Hz) = 269.9 µs.
    assert!(
        (swing.first.0 - 269.9e-6).abs() < 10e-6,
        "{:?}",
        swing.first
    );
    // Where the sine is back inside the swing, the output is on it again within 5 µs:
    // a compensation stage that had wound up would need milliseconds.
    for (k, v) in trace.output.iter().enumerate() {
        let meant = 15.0 + 18.0 * (TAU * 500.0 * trace.time(k).0).sin();
        if (2.0..28.0).contains(&meant) {
            assert!(
                (v - meant).abs() < 0.2,
                "{v} V is not {meant} V at sample {k}"
            );
        }
    }
}

/// Invariant: below every limit, the full simulation and the linear one agree.
#[test]
fn small_signals_see_no_limits() {
    for model in [
        ordinary(),
        OpampModel {
            slew_v_per_s: 0.3e6,
            ..ordinary()
        },
    ] {
        let board = band_pass(model);
        let full = run(&board.0, &sine(650.0, 0.05), 20e-3, 2e-6, Mode::Full);
        let linear = run(&board.0, &sine(650.0, 0.05), 20e-3, 2e-6, Mode::Linear);
        let rest = full.output[0];
        let apart = full.output.iter().zip(&linear.output);
        let worst = apart.fold(0.0_f64, |m, (f, l)| m.max((f - rest - l).abs()));
        // Every step is solved to 0.1 nV; a resonance of Q 5 adds up a handful of them.
        assert!(worst < 20e-9, "{worst} V apart");
        assert!(full.overruns.is_empty(), "{:?}", full.overruns);
    }
}

/// Physics: a diode limiter holds a large tone to a diode drop and leaves a small one.
#[test]
fn a_diode_limiter_limits() {
    let mut board = Board::new();
    board
        .r("R1", 1e4, "in", "out")
        .d("D1", "out", "0")
        .d("D2", "0", "out");
    let loud = run(&board.0, &sine(700.0, 5.0), 5e-3, 5e-6, Mode::Full);
    let peak = greatest(&loud.output);
    // (5 − v)/10k = 1e-14 exp(v/25.69 mV) gives 0.6292 V.
    assert!((peak - 0.629).abs() < 1e-3, "{peak}");
    let quiet = run(&board.0, &sine(700.0, 0.1), 5e-3, 5e-6, Mode::Full);
    assert!((greatest(&quiet.output) - 0.1).abs() < 1e-5);
}

/// Physics: a short load takes the amplifier's current limit and no more.
#[test]
fn the_output_current_is_limited() {
    let mut board = follower(ordinary());
    board
        .c("C2", 1e-3, "out", "phones")
        .r("R2", 32.0, "phones", "0");
    board.0.output = board.node("phones");
    let trace = run(&board.0, &sine(700.0, 3.0), 5e-3, 2e-6, Mode::Full);
    let current = greatest(&trace.output) / 32.0;
    assert!((0.95 * 0.02..1.08 * 0.02).contains(&current), "{current} A");
    assert!(trace.overruns.iter().any(|o| o.limit == Limit::Current));
}

/// A jump between samples is met where it falls: keying half a step later delays all.
#[test]
fn a_jump_between_samples_is_met() {
    let board = low_pass();
    let key_up = 1.000_37e-3;
    let drive = Drive::Tone {
        frequency: Hertz(0.0),
        peak: Volts(1.0),
        phase_rad: 0.0,
        until: Some(Seconds(key_up)),
    };
    let trace = run(&board.0, &drive, 3e-3, 1e-6, Mode::Full);
    let reached = 1.0 - (-key_up / 1e-3).exp();
    for (k, v) in trace.output.iter().enumerate().skip(1001) {
        let meant = reached * (-(trace.time(k).0 - key_up) / 1e-3).exp();
        assert!(
            (v - meant).abs() < RULE * 1e-6,
            "{v} is not {meant} at sample {k}"
        );
    }
}

/// Bad requests are refused in words.
#[test]
fn requests_without_meaning_are_refused() {
    let board = low_pass();
    for (length, step) in [
        (0.0, 1e-6),
        (1.0, 0.0),
        (1.0, -1.0),
        (f64::NAN, 1e-6),
        (1e9, 1e-9),
    ] {
        let request = Request::new(Seconds(length), Seconds(step), Mode::Full);
        let refused = simulate(&board.0, &Drive::Silence, &request);
        assert!(refused.is_err(), "{length} s in steps of {step} s");
    }
}

/// Invariant: with nothing at the input nothing moves, not even after a second.
#[test]
fn silence_stays_silent() {
    let board = band_pass(ordinary());
    let trace = run(&board.0, &Drive::Silence, 0.1, 1e-4, Mode::Full);
    let rest = trace.output[0];
    assert!(trace.output.iter().all(|v| (v - rest).abs() < 1e-7));
    assert!((rest - 6.0).abs() < 0.1);
}
