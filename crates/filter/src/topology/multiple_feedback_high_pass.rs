//! Multiple-feedback high-pass: the low-pass with resistors and capacitors exchanged.
//!
//! ```text
//!   input ─ C1 ─┬─ C2 ─┬─ inverting input      C3 from the node to the output
//!              R1      R2 to the output
//!              mid
//! ```
//!
//! `H(s) = −(C1/C3) s² / (s² + s(C1 + C2 + C3)/(R2C2C3) + 1/(R1R2C2C3))`
//! [OAFE 16.4.2.2; FRANCO 3]: gain far above f0 `G = C1/C3`.
//!
//! Design: `R2 = (C1 + C2 + C3)Q/(ω0C2C3)`, `R1 = 1/(ω0²R2C2C3)`.
//!
//! Limits: resistors spread as (2Q + Q/G)²: Q to 10; the gain is what capacitor values
//! give; the input is a capacitor and wants a stiff driver.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::slopes::{Product, sensitivities as from_products};
use super::window::Window;
use crate::{Section, Shape};
use std::f64::consts::TAU;

pub(super) const RECIPE: Recipe = Recipe {
    name: "multiple-feedback high-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("input capacitor"),
        Place::capacitor("node to inverting input"),
        Place::capacitor("feedback capacitor"),
        Place::resistor("feedback"),
        Place::resistor("ground leg"),
    ],
    input: None,
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 10.0,
        most_q_source: "its resistors spread as the square of 2Q and more",
        most_gain: |_| 10.0,
        least_gain: 0.0,
        noise_gain: |section, gain| section.q * (1.0 + gain),
    },
    realises: |section| matches!(section.shape, Shape::HighPass),
    ideal,
    reached,
    bracket,
    opened,
    sensitivities,
    build,
};

const C1: usize = 0;
const C2: usize = 1;
const C3: usize = 2;
const R2: usize = 3;
const R1: usize = 4;

/// The gain is `C1/C3`, whatever is asked.
fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r2 = (c[C1] + c[C2] + c[C3]) * section.q / (w0 * c[C2] * c[C3]);
    let r1 = 1.0 / (w0 * w0 * r2 * c[C2] * c[C3]);
    Some(vec![c[C1], c[C2], c[C3], r2, r1])
}

fn reached(v: &[f64]) -> Reached {
    let w0 = (1.0 / (v[R1] * v[R2] * v[C2] * v[C3])).sqrt();
    let bandwidth = (v[C1] + v[C2] + v[C3]) / (v[R2] * v[C2] * v[C3]);
    Reached {
        w0,
        q: w0 / bandwidth,
        gain: -v[C1] / v[C3],
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 => Some((0.0, f64::INFINITY)),
        C3 => Some((v[C1] / window.gain.1, v[C1] / window.gain.0)),
        R2 => {
            let (low, high) = window.bandwidth();
            let scale = (v[C1] + v[C2] + v[C3]) / (v[C2] * v[C3]);
            Some((scale / high, scale / low))
        }
        _ => {
            let bandwidth = (v[C1] + v[C2] + v[C3]) / (v[R2] * v[C2] * v[C3]);
            let (low, high) = window.w0_given_bandwidth(bandwidth);
            let scale = v[R2] * v[C2] * v[C3];
            (low <= high).then(|| (1.0 / (high * high * scale), 1.0 / (low * low * scale)))
        }
    }
}

/// `E = s²(C1 + C3)/C3 + s(G1C2 + G2ΣC)/(C2C3) + ω0²`.
fn opened(v: &[f64]) -> Opened {
    let (g1, g2) = (1.0 / v[R1], 1.0 / v[R2]);
    let all = v[C1] + v[C2] + v[C3];
    let scale = v[C2] * v[C3];
    [
        g1 * g2 / scale,
        (g1 * v[C2] + g2 * all) / scale,
        (v[C1] + v[C3]) / v[C3],
        0.0,
    ]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[(R1, -1.0), (R2, -1.0), (C2, -1.0), (C3, -1.0)],
    )];
    let bandwidth = [
        Product(v[C1], &[(C1, 1.0), (R2, -1.0), (C2, -1.0), (C3, -1.0)]),
        Product(v[C2], &[(R2, -1.0), (C3, -1.0)]),
        Product(v[C3], &[(R2, -1.0), (C2, -1.0)]),
    ];
    let gain = [Product(1.0, &[(C1, 1.0), (C3, -1.0)])];
    from_products(
        v.len(),
        &w0_squared,
        &bandwidth,
        &gain,
        &[Product(1.0, &[])],
    )
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let a = board.inner("a");
    let n = board.inner("n");
    board.capacitor(v[C1], [ports.input, a], "input capacitor");
    board.resistor(v[R1], [a, ports.mid], "ground leg");
    board.capacitor(v[C3], [a, ports.output], "feedback capacitor");
    board.capacitor(v[C2], [a, n], "node to inverting input");
    board.resistor(v[R2], [ports.output, n], "feedback");
    board.amplifier(ports.mid, n, ports.output, "high-pass");
}
