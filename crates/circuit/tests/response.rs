//! Figures of the response against closed forms and the reference numbers of the trade.

use circuit::Circuit;
use circuit::figures::{Response, Study};
use circuit::system::System;
use parts::OpampModel;
use std::f64::consts::PI;
use testkit::{Board, tolerance};

fn response(circuit: &Circuit, pitch_hz: f64, at_hz: &[f64]) -> Response {
    let system = System::build(circuit).expect("a sound circuit");
    let mut study = Study::new(circuit, &system).expect("a solution");
    study.response(pitch_hz, at_hz)
}

fn chain(stages: usize, f0: f64, q: f64) -> Circuit {
    let mut board = Board::new("equal stages");
    for k in 1..=stages {
        let from = if k == 1 {
            "in".to_owned()
        } else {
            format!("s{}", k - 1)
        };
        let to = if k == stages {
            "out".to_owned()
        } else {
            format!("s{k}")
        };
        let ends = [from.as_str(), to.as_str()];
        board = board.multiple_feedback(k, [f0, q, 1.0, 10e-9], &OpampModel::ideal(), ends);
    }
    board.finish()
}

/// Closed form: half-power edges f0(√(1+1/4Q²) ∓ 1/2Q), their geometric mean f0,
/// width f0/Q, delay at the centre 2Q/ω0 = 1/(π BW), noise width (π/2) BW over all
/// frequencies less what lies outside 20 Hz to 20 kHz.
#[test]
fn one_resonator() {
    for (f0, q, low, high) in [
        (1000.0, 10.0, 951.249, 1051.249),
        (700.0, 7.0, 651.783, 751.783),
    ] {
        let found = response(&chain(1, f0, q), f0, &[2.0 * f0]);
        let edges = found.edges_3db_hz.expect("edges");
        assert!(tolerance::last_place(edges.0, low, 3) && tolerance::last_place(edges.1, high, 3));
        tolerance::EDGE.check("centre", found.centre_hz.expect("a centre"), f0);
        tolerance::EDGE.check("width", found.width_3db_hz.expect("a width"), f0 / q);
        // 6 dB: x = Q (f/f0 − f0/f) = √(10^0.6 − 1).
        let x = (10_f64.powf(0.6) - 1.0).sqrt();
        tolerance::EDGE.check("6 dB", found.width_6db_hz.expect("a width"), x * f0 / q);
        tolerance::EDGE.check("delay", found.delay_at_pitch_s, 2.0 * q / (2.0 * PI * f0));
        tolerance::FIGURE_DB.check("gain", found.gain_at_pitch_db, 0.0);
        tolerance::FIGURE_DB.check("peak", found.peak_db, 0.0);
        assert_eq!(
            found.width_60db_hz, None,
            "60 dB down lies outside the band"
        );
        // Outside the band |H|² ≈ (f/(Q f0))² below and (f0/(Q f))² above.
        let missing = 20_f64.powi(3) / 3.0 / (q * f0).powi(2) + f0 * f0 / (q * q) / 20e3;
        let noise = PI / 2.0 * f0 / q - missing;
        assert!(
            (found.noise_width_hz / noise - 1.0).abs() < 1e-4,
            "{}",
            found.noise_width_hz
        );
        // Recomputed: 157.08 Hz for a width of 100 Hz.
        if q > 9.0 {
            assert!(tolerance::last_place(
                found.noise_width_hz + missing,
                157.08,
                2
            ));
        }
    }
    // Closed form, recomputed: a Q 10 stage at 2 f0 is at −23.54 dB.
    let found = response(&chain(1, 1000.0, 10.0), 1000.0, &[2000.0]);
    assert!(tolerance::last_place(found.points[0].gain_db, -23.54, 2));
}

/// n equal resonators: BW √(2^(1/n) − 1) (from memory; recomputed), exact for Q (f/f0 − f0/f).
#[test]
fn equal_resonators_narrow_by_the_known_factor() {
    for (n, factor) in [(2, 0.6436), (3, 0.5098), (4, 0.4350)] {
        let found = response(&chain(n, 700.0, 4.0), 700.0, &[]);
        let width = found.width_3db_hz.expect("a width");
        assert!(
            tolerance::last_place(width / 175.0, factor, 4),
            "{n}: {width}"
        );
        let exact = 175.0 * (2_f64.powf(1.0 / n as f64) - 1.0).sqrt();
        tolerance::EDGE.check("width", width, exact);
    }
}

/// Q 5 at 700 Hz, attenuation in dB for one and for three stages (trade's reference numbers).
#[test]
fn attenuation_of_one_and_of_three_stages() {
    let at = [300.0, 500.0, 600.0, 800.0, 900.0, 1200.0, 2700.0];
    let one = response(&chain(1, 700.0, 5.0), 700.0, &at);
    let three = response(&chain(3, 700.0, 5.0), 700.0, &at);
    let printed = [
        (20.0, 59.0, 0),
        (11.0, 33.0, 0),
        (5.3, 15.9, 1),
        (4.5, 13.4, 1),
        (8.7, 26.2, 1),
    ];
    for (k, (single, triple, decimals)) in printed.into_iter().enumerate() {
        assert!(tolerance::last_place(
            -one.points[k].gain_db,
            single,
            decimals
        ));
        assert!(tolerance::last_place(
            -three.points[k].gain_db,
            triple,
            decimals
        ));
    }
    assert!(tolerance::last_place(-one.points[5].gain_db, 15.2, 1));
    assert!(tolerance::last_place(-three.points[6].gain_db, 75.0, 0));
}

/// Signatures of one multiple-feedback stage (700 Hz, 140 Hz, 0 dB) with one part wrong: peak Hz,
/// half-power width Hz, gain at the peak and at 700 Hz in dB, printed without decimals. The
/// printed widths were read off a grid (R1 moves none, yet 142 stands there): they are held to
/// 1.5 %, and ours to the closed form (Ca + Cb)/(2π R3 Ca Cb) as well.
#[test]
fn fault_signatures() {
    let (f0, q, c) = (700.0, 5.0, 10e-9);
    let k = 2.0 * PI * f0 * c;
    let good = [q / k, q / ((2.0 * q * q - 1.0) * k), 2.0 * q / k, c, c];
    let times = |place: usize, factor: f64| {
        let mut values = good;
        values[place] *= factor;
        values
    };
    let swapped = |a: usize, b: usize| {
        let mut values = good;
        values.swap(a, b);
        values
    };
    let both = |factor: f64| {
        let mut values = times(3, factor);
        values[4] *= factor;
        values
    };
    for (what, values, printed) in [
        ("good", good, [700.0, 140.0, 0.0, 0.0]),
        ("R1 x10", times(0, 10.0), [694.0, 142.0, -20.0, -20.0]),
        ("R1 :10", times(0, 0.1), [760.0, 141.0, 20.0, 17.0]),
        ("R2 x10", times(1, 10.0), [241.0, 140.0, 0.0, -13.0]),
        ("R2 :10", times(1, 0.1), [2195.0, 141.0, 0.0, -33.0]),
        ("R3 x10", times(2, 10.0), [221.0, 14.0, 20.0, -13.0]),
        ("R3 :10", times(2, 0.1), [2214.0, 1405.0, -20.0, -33.0]),
        (
            "R1 and R3 swapped",
            swapped(0, 2),
            [985.0, 281.0, -12.0, -21.0],
        ),
        (
            "R1 and R2 swapped",
            swapped(0, 1),
            [700.0, 141.0, 34.0, 34.0],
        ),
        ("Ca x10", times(3, 10.0), [221.0, 78.0, -15.0, -33.0]),
        ("Ca :10", times(3, 0.1), [2214.0, 773.0, 5.0, -13.0]),
        ("Cb x10", times(4, 10.0), [221.0, 78.0, 5.0, -13.0]),
        ("Cb :10", times(4, 0.1), [2214.0, 773.0, -15.0, -33.0]),
        ("both C :10", both(0.1), [7000.0, 1400.0, 0.0, -34.0]),
        ("both C 20 % low", both(0.8), [875.0, 175.0, 0.0, -8.0]),
    ] {
        let circuit = Board::new(what)
            .r("R1", values[0], "in", "a")
            .r("R2", values[1], "a", "0")
            .r("R3", values[2], "b", "out")
            .c("Ca", values[3], "a", "out")
            .c("Cb", values[4], "a", "b")
            .u("U1", &OpampModel::ideal(), ["0", "b", "out"])
            .finish();
        let found = response(&circuit, 700.0, &[]);
        let width = found.width_3db_hz.expect("a width");
        let [_, _, r3, ca, cb] = values;
        let exact = (ca + cb) / (2.0 * PI * r3 * ca * cb);
        tolerance::EDGE.check(what, width, exact);
        assert!((width / printed[1] - 1.0).abs() < 0.015, "{what}: {width}");
        let figures = [found.peak_hz, found.peak_db, found.gain_at_pitch_db];
        let expected = [printed[0], printed[2], printed[3]];
        for (figure, expected) in figures.into_iter().zip(expected) {
            assert!(
                tolerance::last_place(figure, expected, 0),
                "{what}: {figures:?} {printed:?}"
            );
        }
    }
}

/// Definition: outermost crossings. Two staggered resonators leave a dip of more than 3 dB
/// between them, and the width counts across it; a low-pass has no lower edge.
#[test]
fn edges_are_the_outermost() {
    let model = OpampModel::ideal();
    let twin = Board::new("two peaks")
        .multiple_feedback(1, [500.0, 12.0, 1.0, 10e-9], &model, ["in", "m"])
        .multiple_feedback(2, [900.0, 12.0, 1.0, 10e-9], &model, ["m", "out"])
        .finish();
    let found = response(&twin, 670.0, &[670.0]);
    assert!(found.peak_db - found.points[0].gain_db > 6.0);
    let (low, high) = found.edges_6db_hz.expect("edges");
    assert!(low < 500.0 && high > 900.0);
    let low_pass = Board::new("one pole")
        .r("R1", 1e3, "in", "out")
        .c("C1", 159.154_943e-9, "out", "0")
        .finish();
    let found = response(&low_pass, 700.0, &[1000.0]);
    assert_eq!(found.centre_hz, None);
    assert!((found.points[0].gain_db + 3.0103).abs() < 1e-4);
    assert!((found.points[0].phase_deg + 45.0).abs() < 1e-4);
}

/// Equivalent noise bandwidth over half-power frequency of Butterworth low-passes, (π/2n)/sin(π/2n)
/// (from memory, in print 1.57 and 1.11; recomputed), less what lies below 20 Hz and above 20 kHz: 20 Hz of flat top, and
/// f0 (f0/f)^(2n−1)/(2n−1) beyond.
#[test]
fn noise_width_of_low_passes() {
    let (f0, r) = (1000.0, 10e3);
    let c = 1.0 / (2.0 * PI * f0 * r);
    let first = Board::new("first order")
        .r("R1", r, "in", "out")
        .c("C1", c, "out", "0")
        .finish();
    let q = 0.5_f64.sqrt();
    let second = Board::new("second order")
        .r("R1", r, "in", "a")
        .r("R2", r, "a", "b")
        .c("C1", 2.0 * q * c, "a", "out")
        .c("C2", c / (2.0 * q), "b", "0")
        .u("U1", &OpampModel::ideal(), ["b", "out", "out"])
        .finish();
    for (circuit, printed, n) in [(first, 1.57, 1), (second, 1.11, 2)] {
        let found = response(&circuit, 700.0, &[]).noise_width_hz;
        let angle = PI / f64::from(2 * n);
        let exact = angle / angle.sin();
        assert!(tolerance::last_place(exact, printed, 2));
        let power = f64::from(2 * n - 1);
        let beyond = f0 * (f0 / 20e3_f64).powf(power) / power;
        // The peak counted is the top at 20 Hz.
        let top = 1.0 / (1.0 + (20.0 / f0).powi(2 * n));
        let expected = (exact * f0 - 20.0 - beyond) / top;
        assert!(
            (found / expected - 1.0).abs() < 1e-4,
            "{n}: {found} {expected}"
        );
    }
}
