//! Multiple-feedback low-pass: one inverting op-amp.
//!
//! ```text
//!   input ─ R1 ─┬─ R3 ─┬─ inverting input      R2 from the node to the output
//!              C2      C1 to the output
//!              mid
//! ```
//!
//! `H(s) = −(1/(R1R3C1C2)) / (s² + s(1/R1 + 1/R2 + 1/R3)/C2 + 1/(R2R3C1C2))`
//! [OAFE 16.3.2.2; FRANCO 3]: gain at DC `G = R2/R1`.
//!
//! Design from C1, C2 ≥ 4Q²(1 + G)C1: with `x = 1/R2` and `1/R3 = ω0²C1C2/x`,
//! `(1 + G)x² − (ω0C2/Q)x + ω0²C1C2 = 0`; the smaller root, so that R2 and R1 are large.
//!
//! Limits: capacitors spread as 4Q²(1 + G): Q to 10.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::slopes::{Product, sensitivities as from_products};
use super::window::{Window, common};
use crate::{Section, Shape};
use std::f64::consts::TAU;

pub(super) const RECIPE: Recipe = Recipe {
    name: "multiple-feedback low-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("feedback capacitor"),
        Place::capacitor("node to mid-supply"),
        Place::resistor("feedback"),
        Place::resistor("node to inverting input"),
        Place::resistor("input"),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 10.0,
        most_q_source: "its capacitors spread as 4Q² times one and the gain",
        most_gain: |_| 10.0,
        least_gain: 0.0,
        noise_gain: |section, gain| section.q * (1.0 + gain),
    },
    realises: |section| matches!(section.shape, Shape::LowPass),
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

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let sum = w0 * c[C2] / section.q;
    let product = w0 * w0 * c[C1] * c[C2];
    let root = sum * sum - 4.0 * (1.0 + gain) * product;
    if root < 0.0 {
        return None;
    }
    // the smaller root without cancellation: product/((1+G)·larger root)
    let x = 2.0 * product / (sum + root.sqrt());
    let r2 = 1.0 / x;
    Some(vec![c[C1], c[C2], r2, x / product, r2 / gain])
}

fn reached(v: &[f64]) -> Reached {
    let w0 = (1.0 / (v[R2] * v[R3] * v[C1] * v[C2])).sqrt();
    let bandwidth = (1.0 / v[R1] + 1.0 / v[R2] + 1.0 / v[R3]) / v[C2];
    Reached {
        w0,
        q: w0 / bandwidth,
        gain: -v[R2] / v[R1],
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 => Some((0.0, f64::INFINITY)),
        C2 => {
            let spread = 4.0 * window.q.0 * window.q.0 * (1.0 + window.gain.0);
            Some((
                v[C1] * spread * (window.w0.0 / window.w0.1).powi(2),
                f64::INFINITY,
            ))
        }
        R2 => {
            let sum = window.bandwidth().1 * v[C2];
            let product = window.w0.0 * window.w0.0 * v[C1] * v[C2];
            Some(((1.0 + window.gain.0) / sum, sum / product))
        }
        R3 => {
            let scale = v[R2] * v[C1] * v[C2];
            Some((
                1.0 / (window.w0.1.powi(2) * scale),
                1.0 / (window.w0.0.powi(2) * scale),
            ))
        }
        _ => {
            let w0 = (1.0 / (v[R2] * v[R3] * v[C1] * v[C2])).sqrt();
            let q = window.q_given_w0(w0)?;
            let rest = 1.0 / v[R2] + 1.0 / v[R3];
            let most = v[C2] * w0 / q.0 - rest;
            let least = v[C2] * w0 / q.1 - rest;
            let top = if least > 0.0 {
                1.0 / least
            } else {
                f64::INFINITY
            };
            let gain = (v[R2] / window.gain.1, v[R2] / window.gain.0);
            (most > 0.0).then(|| common((1.0 / most, top), gain))
        }
    }
}

/// `E = s² + s(ΣG/C2 + G3/C1) + G3(G1 + G2)/(C1C2)`, conductances of the three resistors.
fn opened(v: &[f64]) -> Opened {
    let (g1, g2, g3) = (1.0 / v[R1], 1.0 / v[R2], 1.0 / v[R3]);
    let first = (g1 + g2 + g3) / v[C2] + g3 / v[C1];
    [g3 * (g1 + g2) / (v[C1] * v[C2]), first, 1.0, 0.0]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[(R2, -1.0), (R3, -1.0), (C1, -1.0), (C2, -1.0)],
    )];
    let bandwidth = [
        Product(1.0 / v[R1], &[(R1, -1.0), (C2, -1.0)]),
        Product(1.0 / v[R2], &[(R2, -1.0), (C2, -1.0)]),
        Product(1.0 / v[R3], &[(R3, -1.0), (C2, -1.0)]),
    ];
    let gain = [Product(1.0, &[(R2, 1.0), (R1, -1.0)])];
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
    board.resistor(v[R1], [ports.input, a], "input");
    board.capacitor(v[C2], [a, ports.mid], "node to mid-supply");
    board.resistor(v[R2], [a, ports.output], "feedback");
    board.resistor(v[R3], [a, n], "node to inverting input");
    board.capacitor(v[C1], [ports.output, n], "feedback capacitor");
    board.amplifier(ports.mid, n, ports.output, "low-pass");
}
