//! Levels inside the circuit and what a listener gets, against closed forms.

use circuit::Circuit;
use circuit::figures::{Levels, Listener, Study};
use circuit::figures::{auditory_weight, equivalent_rectangular_bandwidth_hz};
use circuit::system::System;
use parts::OpampModel;
use std::f64::consts::{PI, TAU};
use testkit::{Board, tolerance};

fn study<T>(circuit: &Circuit, ask: impl FnOnce(&mut Study<'_>) -> T) -> T {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    ask(&mut study)
}

/// Closed form: a Q 20 stage of gain 2 before one of gain ½: the first output peaks at 2 and
/// clips first; slewing starts where ω|H| times the input reaches the slew rate.
#[test]
fn the_hottest_node_clips_first() {
    let model = OpampModel {
        slew_v_per_s: 0.5e6,
        ..OpampModel::ideal()
    };
    let circuit = Board::new("hot inside")
        .multiple_feedback(1, [800.0, 20.0, 2.0, 10e-9], &model, ["in", "m"])
        .multiple_feedback(2, [700.0, 2.0, 0.5, 10e-9], &model, ["m", "out"])
        .finish();
    let levels: Levels = study(&circuit, |s| s.levels(700.0, |_| 3.0));
    let [first, second] = levels.stages[..] else {
        panic!("two amplifiers");
    };
    tolerance::FIGURE_DB.check("peak", first.peak_gain_db, 20.0 * 2_f64.log10());
    assert!((first.peak_gain_hz - 800.0).abs() < 1e-3);
    let x: f64 = 20.0 * (700.0 / 800.0 - 800.0 / 700.0);
    let at_pitch = 2.0 / (1.0 + x * x).sqrt();
    tolerance::FIGURE_DB.check("pitch", first.gain_at_pitch_db, 20.0 * at_pitch.log10());
    assert!(second.peak_gain_db < first.peak_gain_db);
    let clips = levels.clips_at_input_v_peak.expect("a limit");
    assert!((clips.worst - 1.5).abs() < 1e-6 && (clips.worst_hz - 800.0).abs() < 1e-3);
    assert!((clips.at_pitch - 3.0 / at_pitch).abs() < 1e-6);
    // ω |H| of G (s ω0/Q)/(s² + …) is greatest near ω0 at high Q.
    let slews = levels.slews_at_input_v_peak.expect("a limit");
    let expected = 0.5e6 / (TAU * 800.0 * 2.0);
    assert!((slews.worst / expected - 1.0).abs() < 2e-3, "{slews:?}");
    assert!(levels.slew_ok(49.0) && !levels.slew_ok(50.0));
}

/// Slew rate and swing of a follower, found as the input at which its limit of speed is reached.
/// [OAFE, §16.8.4]: π·Vpp·f, 5 Vpp at 100 kHz want 1.57 V/µs (1.5708 recomputed). Full-power
/// bandwidth SR/(2πVp) [FRANCO, example 6.8a]: 0.5 V/µs and 5 V peak 15.92 kHz, printed 16 kHz;
/// with 10 V peak 7.96 kHz.
#[test]
fn slew_rate_limits_swing_and_frequency() {
    for (slew_v_per_s, f_hz, v_peak, relative) in [
        (1.5708e6, 100e3, 2.5, 0.5e2 / 1.5708e6),
        (0.5e6, 15.92e3, 5.0, 0.005 / 15.92),
        (0.5e6, 7.96e3, 10.0, 0.005 / 7.96),
    ] {
        let model = OpampModel {
            slew_v_per_s,
            ..OpampModel::ideal()
        };
        let follower = Board::new("follower")
            .u("U1", &model, ["in", "out", "out"])
            .finish();
        let levels: Levels = study(&follower, |s| s.levels(f_hz, |_| f64::INFINITY));
        let limit = levels.slews_at_input_v_peak.expect("a limit");
        assert!(
            (limit.at_pitch / v_peak - 1.0).abs() <= relative,
            "{slew_v_per_s} V/s at {f_hz} Hz: {limit:?}"
        );
        assert!(levels.slew_ok(0.99 * limit.worst) && !levels.slew_ok(1.01 * limit.worst));
    }
}

/// [GM1990], recomputed: 78.67, 100.26 and 132.64 Hz at 500, 700 and 1000 Hz; and the
/// rounded exponential has exactly that equivalent rectangular bandwidth (closed form).
#[test]
fn auditory_filter_has_its_bandwidth() {
    for (f, printed) in [(500.0, 78.67), (700.0, 100.26), (1000.0, 132.64)] {
        let erb = equivalent_rectangular_bandwidth_hz(f);
        assert!(tolerance::last_place(erb, printed, 2));
        let sum: f64 = (0..400_000)
            .map(|k| auditory_weight(f, 0.01 * f64::from(k)) * 0.01)
            .sum();
        assert!((sum / erb - 1.0).abs() < 1e-4, "{sum} {erb}");
    }
}

/// Closed form: a narrow resonator passes (π/2) BW of hiss; in the trade's words 2400 → 100 Hz is
/// 13.8 dB. To an ear whose own filter is 100 Hz wide the same is worth far less.
#[test]
fn hiss_drops_by_the_noise_width() {
    let (f0, q) = (700.0, 70.0);
    let circuit = Board::new("narrow")
        .multiple_feedback(1, [f0, q, 1.0, 10e-9], &OpampModel::ideal(), ["in", "out"])
        .finish();
    let found: Listener = study(&circuit, |s| s.listener(f0, (300.0, 2700.0))).expect("a signal");
    let width = PI / 2.0 * f0 / q;
    assert!(
        (found.hiss_drop_db - 10.0 * (2400.0 / width).log10()).abs() < 0.15,
        "{found:?}"
    );
    let bare = 10.0 * (equivalent_rectangular_bandwidth_hz(f0) / width).log10();
    assert!(
        found.ear_gain_db > 0.0 && found.ear_gain_db < bare + 1.0,
        "{found:?} {bare}"
    );
    let wire = Board::new("wire").r("R1", 0.0, "in", "out").finish();
    let found = study(&wire, |s| s.listener(f0, (300.0, 2700.0))).expect("a signal");
    assert!(found.hiss_drop_db.abs() < 1e-9 && found.ear_gain_db.abs() < 1e-9);
}

/// Two routes: behind a circuit so flat that one panel takes its whole response, the ear's figure
/// is that of a plain sum over a grid of a tenth of a hertz. A weight left to the same panel was
/// 0.001 dB off. A resonance 3 Hz from the band's end does not move that end.
#[test]
fn a_flat_circuit_leaves_the_ear_its_digits() {
    for (ohms, farads) in [(1e3, 47e-9), (1e3, 59.012e-9)] {
        let circuit = Board::new("flat")
            .r("R1", ohms, "in", "out")
            .c("C1", farads, "out", "0")
            .finish();
        let corner = 1.0 / (2.0 * PI * ohms * farads);
        let power = |f: f64| 1.0 / (1.0 + (f / corner).powi(2));
        let (pitch, low, high) = (700.0, 300.0, 2700.0);
        let mut sums = [0.0; 3];
        for k in 0..24_000 {
            let f = low + 0.1 * (f64::from(k) + 0.5);
            let weight = auditory_weight(pitch, f);
            sums[0] += power(f) / power(pitch) * 0.1;
            sums[1] += weight * power(f) / power(pitch);
            sums[2] += weight;
        }
        let found = study(&circuit, |s| s.listener(pitch, (low, high))).expect("a signal");
        let drop = 10.0 * ((high - low) / sums[0]).log10();
        let gain = 10.0 * (sums[2] / sums[1]).log10();
        // The midpoint rule is good to (0.1 Hz)² / 24 of the curvature: 1e-9 dB here.
        assert!((found.hiss_drop_db - drop).abs() < 1e-6, "{found:?} {drop}");
        assert!((found.ear_gain_db - gain).abs() < 1e-6, "{found:?} {gain}");
    }
}
