//! Sallen–Key low-pass round a follower (unity gain).
//!
//! ```text
//!   input ─ R1 ─┬─ R2 ─┬─ + input      C2 from the node to the output
//!              C2      C1
//!             output   mid
//! ```
//!
//! `H(s) = 1/(R1R2C1C2) / (s² + s(1/R1 + 1/R2)/C2 + 1/(R1R2C1C2))`
//! [OAFE 16.3.2.1; FRANCO 3]: `Q = √(R1R2C1C2)/((R1 + R2)C1)`.
//!
//! Design from C1 and C2 ≥ 4Q²C1: `R1 + R2 = 1/(ω0QC1)`, `R1R2 = 1/(ω0²C1C2)`; the
//! larger is R1, which loads the driver less.
//!
//! Limits: capacitors spread as 4Q²: Q to 5. Sensitivities are ½ at most
//! [OAFE 16.8.2]. Amplifier drift, equal R: `Δf0/f0 ≈ −Q f0/ft`, `ΔQ/Q ≈ +Q f0/ft`.

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
    name: "unity-gain Sallen–Key low-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("plus input to mid-supply"),
        Place::capacitor("feedback capacitor"),
        Place::resistor("input"),
        Place::resistor("node to plus input"),
    ],
    input: Some(R1),
    wants_bias: true,
    forced_gain: Some(|_| 1.0),
    limits: Limits {
        least_q: 0.0,
        most_q: 5.0,
        most_q_source: "its capacitors spread as 4Q²",
        most_gain: |_| 1.0,
        least_gain: 1.0,
        noise_gain: |section, _| 2.0 * section.q,
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
const R1: usize = 2;
const R2: usize = 3;

fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let sum = 1.0 / (w0 * section.q * c[C1]);
    let product = 1.0 / (w0 * w0 * c[C1] * c[C2]);
    let root = sum * sum - 4.0 * product;
    if root < 0.0 {
        return None;
    }
    let r1 = 0.5 * (sum + root.sqrt());
    Some(vec![c[C1], c[C2], r1, product / r1])
}

fn reached(v: &[f64]) -> Reached {
    let w0 = (1.0 / (v[R1] * v[R2] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: 1.0 / (w0 * (v[R1] + v[R2]) * v[C1]),
        gain: 1.0,
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 => Some((0.0, f64::INFINITY)),
        // from (R1 + R2)² ≥ 4R1R2
        C2 => Some((4.0 * window.q.0 * window.q.0 * v[C1], f64::INFINITY)),
        R1 => {
            let most = 1.0 / (window.w0.0 * window.q.0 * v[C1]);
            let product = 1.0 / (window.w0.1 * window.w0.1 * v[C1] * v[C2]);
            let root = most * most - 4.0 * product;
            let root = if root < 0.0 { return None } else { root.sqrt() };
            // between the outermost roots of R² − sum·R + product
            Some((2.0 * product / (most + root), 0.5 * (most + root)))
        }
        _ => {
            let scale = v[R1] * v[C1] * v[C2];
            let (low, high) = (
                1.0 / (window.w0.1.powi(2) * scale),
                1.0 / (window.w0.0.powi(2) * scale),
            );
            let least = 1.0 / (window.w0.1 * window.q.1 * v[C1]) - v[R1];
            let most = 1.0 / (window.w0.0 * window.q.0 * v[C1]) - v[R1];
            Some((low.max(least), high.min(most)))
        }
    }
}

/// `E = s² + s((G1 + G2)/C2 + G2/C1) + ω0²`: the passive network.
fn opened(v: &[f64]) -> Opened {
    let (g1, g2) = (1.0 / v[R1], 1.0 / v[R2]);
    [
        g1 * g2 / (v[C1] * v[C2]),
        (g1 + g2) / v[C2] + g2 / v[C1],
        1.0,
        0.0,
    ]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[(R1, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
    )];
    let bandwidth = [
        Product(1.0 / v[R1], &[(R1, -1.0), (C2, -1.0)]),
        Product(1.0 / v[R2], &[(R2, -1.0), (C2, -1.0)]),
    ];
    let one = [Product(1.0, &[])];
    from_products(v.len(), &w0_squared, &bandwidth, &one, &one)
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let a = board.inner("a");
    let p = board.inner("p");
    board.resistor(v[R1], [ports.input, a], "input");
    board.capacitor(v[C2], [a, ports.output], "feedback capacitor");
    board.resistor(v[R2], [a, p], "node to plus input");
    board.capacitor(v[C1], [p, ports.mid], "plus input to mid-supply");
    board.amplifier(p, ports.output, ports.output, "follower");
}
