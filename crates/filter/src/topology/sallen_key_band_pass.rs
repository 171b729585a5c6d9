//! Sallen–Key band-pass round an amplifier of gain K, its input resistor split.
//!
//! ```text
//!   input ─ R1 ─┬─ C1 ─┬─ + input      C2, R4 from the node to mid-supply
//!          C2,R4,R3    R2              R3 from the node to the output
//!                      mid             gain K = 1 + RB/RA
//! ```
//!
//! `ω0² = (1/R1 + 1/R3 + 1/R4)/(R2C1C2)`,
//! `ω0/Q = (1/R1 + 1/R3 + 1/R4)/C2 + (1/C1 + 1/C2)/R2 − K/(R3C2)`, gain at f0
//! `K/(R1C2)·Q/ω0` [FRANCO 3, example 3.13; OAFE 16.5.1.1 with R2 doubled]. R1 and R4 are
//! one resistor R split so that the gain may be less than the natural `KQ/√2`.
//!
//! Design: C1 = C2 = C, R2 = R3 = R1∥R4 = R = `√2/(ω0C)`, `K = 4 − √2/Q`, RA = 10 kΩ.
//! Where C1 and C2 are to differ, `R = √2/(ω0√(C1C2))` and `K = 3 + C2/C1 − √(2C2/C1)/Q`.
//!
//! Limits: Q moves by `2√2Q − 1` per cent for one per cent of K: Q to 5.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::equal_sallen_key_low_pass::DIVIDER;
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::slopes::{Product, sensitivities as from_products};
use super::window::{Window, common};
use crate::{Section, Shape};
use std::f64::consts::{SQRT_2, TAU};

pub(super) const RECIPE: Recipe = Recipe {
    name: "Sallen–Key band-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("node to plus input"),
        Place::capacitor("node to mid-supply").tied_to(C1),
        Place::resistor("plus input to mid-supply").reactance(SQRT_2, [C1, C2]),
        Place::resistor("feedback").same_as(R2),
        Place::resistor("input"),
        Place::resistor("ground leg"),
        Place::resistor("gain, ground leg").between(DIVIDER),
        Place::resistor("gain, feedback"),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.5,
        most_q: 5.0,
        most_q_source: "Q moves by 2√2Q − 1 per cent for one per cent of the gain",
        most_gain: |section| 0.9 * natural_gain(section.q),
        least_gain: 0.0,
        noise_gain: |section, _| 4.0 * section.q,
    },
    realises: |section| matches!(section.shape, Shape::BandPass),
    ideal,
    reached,
    bracket,
    opened,
    sensitivities,
    build,
};

const C1: usize = 0;
const C2: usize = 1;
const R2: usize = 2;
const R3: usize = 3;
const R1: usize = 4;
const R4: usize = 5;
const RA: usize = 6;
const RB: usize = 7;

/// Gain at f0 with R1 = R and no R4.
fn natural_gain(q: f64) -> f64 {
    (4.0 - SQRT_2 / q) * q / SQRT_2
}

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r = SQRT_2 / (w0 * (c[C1] * c[C2]).sqrt());
    let ratio = c[C2] / c[C1];
    let extra = 2.0 + ratio - SQRT_2 * ratio.sqrt() / section.q;
    let r1 = (1.0 + extra) * section.q / (w0 * c[C2] * gain);
    let leg = 1.0 / r - 1.0 / r1;
    (leg > 0.0 && extra > 0.0).then(|| vec![c[C1], c[C2], r, r, r1, 1.0 / leg, 10e3, extra * 10e3])
}

fn legs(v: &[f64]) -> f64 {
    1.0 / v[R1] + 1.0 / v[R3] + 1.0 / v[R4]
}

fn passive(v: &[f64]) -> f64 {
    legs(v) / v[C2] + (1.0 / v[C1] + 1.0 / v[C2]) / v[R2]
}

fn reached(v: &[f64]) -> Reached {
    let k = 1.0 + v[RB] / v[RA];
    let w0 = (legs(v) / (v[R2] * v[C1] * v[C2])).sqrt();
    let bandwidth = passive(v) - k / (v[R3] * v[C2]);
    Reached {
        w0,
        q: w0 / bandwidth,
        gain: k / (v[R1] * v[C2] * bandwidth),
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R2 | RA => Some((0.0, f64::INFINITY)),
        R1 => {
            // K follows from ω0 (which gives the legs' sum) and ω0/Q; R1 = K/(gain·C2·ω0/Q)
            let (low, high) = window.bandwidth();
            let fixed = (1.0 / v[C1] + 1.0 / v[C2]) / v[R2];
            let passive = |w0: f64| w0 * w0 * v[R2] * v[C1] + fixed;
            let least = ((passive(window.w0.0) - high) * v[R3]).max(0.0);
            let most = (passive(window.w0.1) - low) * v[R3];
            Some((least / (window.gain.1 * high), most / (window.gain.0 * low)))
        }
        R4 => {
            let scale = v[R2] * v[C1] * v[C2];
            let rest = 1.0 / v[R1] + 1.0 / v[R3];
            let least = window.w0.0.powi(2) * scale - rest;
            let most = window.w0.1.powi(2) * scale - rest;
            let top = if least > 0.0 {
                1.0 / least
            } else {
                f64::INFINITY
            };
            (most > 0.0).then_some((1.0 / most, top))
        }
        _ => {
            let w0 = (legs(v) / (v[R2] * v[C1] * v[C2])).sqrt();
            let q = window.q_given_w0(w0)?;
            let scale = v[R3] * v[C2];
            let k = |q: f64| (passive(v) - w0 / q) * scale;
            // K = gain·bandwidth·R1C2 as well
            let by_gain = |gain: f64, q: f64| gain * w0 / q * v[R1] * v[C2];
            let (low, high) = common(
                (k(q.0), k(q.1)),
                (by_gain(window.gain.0, q.1), by_gain(window.gain.1, q.0)),
            );
            Some(((low - 1.0) * v[RA], (high - 1.0) * v[RA]))
        }
    }
}

/// `E = K(s² + s(passive ω0/Q) + ω0²)`.
fn opened(v: &[f64]) -> Opened {
    let k = 1.0 + v[RB] / v[RA];
    [
        k * legs(v) / (v[R2] * v[C1] * v[C2]),
        k * passive(v),
        k,
        0.0,
    ]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let extra = v[RB] / v[RA];
    let w0_squared = [
        Product(
            1.0 / v[R1],
            &[(R1, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
        ),
        Product(
            1.0 / v[R3],
            &[(R3, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
        ),
        Product(
            1.0 / v[R4],
            &[(R4, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
        ),
    ];
    let bandwidth = [
        Product(1.0 / (v[R1] * v[C2]), &[(R1, -1.0), (C2, -1.0)]),
        Product(1.0 / (v[R4] * v[C2]), &[(R4, -1.0), (C2, -1.0)]),
        Product(1.0 / (v[R2] * v[C1]), &[(R2, -1.0), (C1, -1.0)]),
        Product(1.0 / (v[R2] * v[C2]), &[(R2, -1.0), (C2, -1.0)]),
        Product(
            -extra / (v[R3] * v[C2]),
            &[(RB, 1.0), (RA, -1.0), (R3, -1.0), (C2, -1.0)],
        ),
    ];
    let gain = [
        Product(1.0, &[(R1, -1.0), (C2, -1.0)]),
        Product(extra, &[(RB, 1.0), (RA, -1.0), (R1, -1.0), (C2, -1.0)]),
    ];
    from_products(v.len(), &w0_squared, &bandwidth, &gain, &bandwidth)
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let (a, p, n) = (board.inner("a"), board.inner("p"), board.inner("n"));
    board.resistor(v[R1], [ports.input, a], "input");
    board.resistor(v[R4], [a, ports.mid], "ground leg");
    board.capacitor(v[C2], [a, ports.mid], "node to mid-supply");
    board.resistor(v[R3], [a, ports.output], "feedback");
    board.capacitor(v[C1], [a, p], "node to plus input");
    board.resistor(v[R2], [p, ports.mid], "plus input to mid-supply");
    board.resistor(v[RA], [n, ports.mid], "gain, ground leg");
    board.resistor(v[RB], [ports.output, n], "gain, feedback");
    board.amplifier(p, n, ports.output, "amplifier");
}
