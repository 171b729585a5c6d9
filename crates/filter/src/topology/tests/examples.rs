//! Printed worked examples, each with its source and what of it is wrong in print.

use super::{alone, check, judge, section, slow};
use crate::Shape;
use crate::topology::Topology;
use std::f64::consts::TAU;

const MFB: Topology = Topology::MultipleFeedbackBandPass;

fn reached(topology: Topology, values: &[f64]) -> (f64, f64, f64) {
    let r = topology.reached(values);
    (r.w0 / TAU, r.q, r.gain.abs())
}

/// Resistors of the multiple-feedback band-pass in printed order: input, ground leg, feedback.
fn mfb(f0: f64, q: f64, gain: f64, c: f64) -> [f64; 3] {
    let v = MFB
        .ideal(&section(Shape::BandPass, f0, q), gain, &[c, c])
        .unwrap();
    [v[3], v[4], v[2]]
}

/// Published examples, recomputed to five figures (CHECKS 4.5, 4.26, 4.28, 4.33, 4.43).
#[test]
fn multiple_feedback_band_pass_examples() {
    let rows = [
        // OAFE 16-5: printed 7.96 k, 80.4 Ω, 31.8 k
        (mfb(1000.0, 10.0, 2.0, 100e-9), [7957.7, 80.381, 31831.0]),
        // FRANCO 3.15: R1A, R1B, R2 at 20 dB
        (mfb(1000.0, 10.0, 10.0, 10e-9), [15915.0, 837.66, 318_310.0]),
        // FRANCO 3.17, band-pass part
        (
            mfb(1000.0, 10.0, 1.0, 10e-9),
            [159_155.0, 799.77, 318_310.0],
        ),
        // FRANCO 4.5, three stages of the Butterworth band-pass (printed to four figures)
        (
            mfb(1044.25, 20.019, 2.0, 10e-9),
            [152_557.0, 381.6, 610_230.0],
        ),
        (
            mfb(957.62, 20.019, 2.0, 10e-9),
            [166_360.0, 416.13, 665_440.0],
        ),
        // ARRL-style 800 Hz example, from memory: printed 22.6 k, 942 Ω, 90.4 k
        (mfb(800.0, 5.0, 2.0, 22e-9), [22607.0, 941.96, 90429.0]),
        // common practice (TRADE): 700 Hz, 10 n, Q 5: 113.7k 2.32k 227.4k
        (mfb(700.0, 5.0, 1.0, 10e-9), [113_682.0, 2320.0, 227_364.0]),
    ];
    for (found, printed) in rows {
        for (f, p) in found.iter().zip(printed) {
            check("resistor", *f, p, 1e-4); // five printed figures
        }
    }
}

/// OAFE 16-5 with E96 parts (CHECK 4.6), ARRL-style parts (4.43), a common two-capacitor
/// design (TRADE §14: 390k 12k 820k 2n2).
#[test]
fn multiple_feedback_band_pass_with_shop_values() {
    let rows = [
        (
            [100e-9, 100e-9, 31.6e3, 7870.0, 80.6],
            (1002.36, 9.951, 2.008),
        ),
        ([22e-9, 22e-9, 91e3, 22e3, 910.0], (811.3, 5.10, 2.07)),
        ([2.2e-9, 2.2e-9, 820e3, 390e3, 12e3], (740.4, 4.20, 1.05)),
    ];
    for (values, (f0, q, gain)) in rows {
        let found = reached(MFB, &values);
        check("f0", found.0, f0, 1e-4);
        check("Q", found.1, q, 1e-3);
        check("gain", found.2, gain, 2e-3);
    }
}

/// CHECK 5.14: exact roots with a finite gain-bandwidth product, by the judge on our netlist.
#[test]
fn multiple_feedback_band_pass_drifts_as_published() {
    let rows = [
        (1000.0, 10.0, 1e6, 990.147, 10.0975),
        (1000.0, 10.0, 3e6, 996.683, 10.0331),
        (1000.0, 10.0, 10e6, 999.001, 10.0100),
        (700.0, 7.0, 3e6, 698.859, 7.0114),
        (8000.0, 10.0, 1e6, 7427.5, 10.653),
    ];
    for (f0, q, ft, f0_moved, q_moved) in rows {
        let wanted = section(Shape::BandPass, f0, q);
        let values = MFB.ideal(&wanted, 1.0, &[10e-9, 10e-9]).unwrap();
        let found = judge::pole_near(&alone(MFB, &values, &slow(ft)), f0, q);
        // the printed cubic leaves out the term s²ω0/Q beside 2Qs²ω0: 1/(2Q²) of the shift
        let left_out = q * f0 / ft / (2.0 * q * q);
        check("f0", found.0, f0_moved, 1e-6 + 2.0 * left_out);
        check("Q", found.1, q_moved, 1e-5 + 2.0 * left_out);
        let drift = MFB.drift(&wanted, 1.0, &[10e-9, 10e-9], &slow(ft));
        check("drift f0", f0 * (1.0 + drift.f0), found.0, 1e-9);
        check("drift Q", q * (1.0 + drift.q), found.1, 1e-8);
        // first-order law of CHECK 5.13: within its own second order
        let law = q * f0 / ft;
        let bound = 2.0 * law / (q * q) + 3.0 * law * law;
        assert!((drift.f0 + law).abs() < bound, "{} {law}", drift.f0);
        assert!((drift.q - law).abs() < bound, "{} {law}", drift.q);
    }
}

/// Physical invariant (OAFE 16.5.1.2, CHECK 4.13; TRADE §5): the ground leg moves the centre
/// (×0.8 → 781 Hz, ×1.25 → 628 Hz) while width and gain stay.
#[test]
fn ground_leg_retunes_without_touching_width_or_gain() {
    let wanted = section(Shape::BandPass, 700.0, 5.0);
    let values = MFB.ideal(&wanted, 1.0, &[10e-9, 10e-9]).unwrap();
    for (factor, centre) in [(0.8, 781.0), (1.25, 628.0)] {
        let mut v = values.clone();
        v[4] *= factor;
        let (f0, q, gain) = reached(MFB, &v);
        check("centre", f0, centre, 1e-3);
        check("width", f0 / q, 140.0, 1e-12);
        check("gain", gain, 1.0, 1e-12);
    }
}
