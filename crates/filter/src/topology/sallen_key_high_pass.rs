//! Sallen–Key high-pass round a follower (unity gain).
//!
//! ```text
//!   input ─ C1 ─┬─ C2 ─┬─ + input      R1 from the node to the output
//!              R1      R2
//!             output   mid
//! ```
//!
//! `H(s) = s² / (s² + s(1/C1 + 1/C2)/R2 + 1/(R1R2C1C2))` [OAFE 16.4.2.1; FRANCO 3].
//!
//! Design: `R2 = (1/C1 + 1/C2)Q/ω0`, `R1 = 1/(ω0²R2C1C2)`.
//!
//! Limits: resistors spread as 4Q²: Q to 5. The input is a capacitor and wants a stiff
//! driver; R2 gives the amplifier its direct voltage.

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
    name: "unity-gain Sallen–Key high-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("input capacitor"),
        Place::capacitor("node to plus input"),
        Place::resistor("plus input to mid-supply"),
        Place::resistor("feedback"),
    ],
    input: None,
    wants_bias: false,
    forced_gain: Some(|_| 1.0),
    limits: Limits {
        least_q: 0.0,
        most_q: 5.0,
        most_q_source: "its resistors spread as 4Q²",
        most_gain: |_| 1.0,
        least_gain: 1.0,
        noise_gain: |section, _| 2.0 * section.q,
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
const R2: usize = 2;
const R1: usize = 3;

fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r2 = (1.0 / c[C1] + 1.0 / c[C2]) * section.q / w0;
    Some(vec![c[C1], c[C2], r2, 1.0 / (w0 * w0 * r2 * c[C1] * c[C2])])
}

fn reached(v: &[f64]) -> Reached {
    let w0 = (1.0 / (v[R1] * v[R2] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: w0 * v[R2] / (1.0 / v[C1] + 1.0 / v[C2]),
        gain: 1.0,
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 => Some((0.0, f64::INFINITY)),
        R2 => {
            let (low, high) = window.bandwidth();
            let sum = 1.0 / v[C1] + 1.0 / v[C2];
            Some((sum / high, sum / low))
        }
        _ => {
            let bandwidth = (1.0 / v[C1] + 1.0 / v[C2]) / v[R2];
            let (low, high) = window.w0_given_bandwidth(bandwidth);
            let scale = v[R2] * v[C1] * v[C2];
            (low <= high).then(|| (1.0 / (high * high * scale), 1.0 / (low * low * scale)))
        }
    }
}

/// `E = s² + s(G1/C1 + G2(1/C1 + 1/C2)) + ω0²`: the passive network.
fn opened(v: &[f64]) -> Opened {
    let (g1, g2) = (1.0 / v[R1], 1.0 / v[R2]);
    let first = g1 / v[C1] + g2 * (1.0 / v[C1] + 1.0 / v[C2]);
    [g1 * g2 / (v[C1] * v[C2]), first, 1.0, 0.0]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[(R1, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
    )];
    let bandwidth = [
        Product(1.0 / v[C1], &[(R2, -1.0), (C1, -1.0)]),
        Product(1.0 / v[C2], &[(R2, -1.0), (C2, -1.0)]),
    ];
    let one = [Product(1.0, &[])];
    from_products(v.len(), &w0_squared, &bandwidth, &one, &one)
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let a = board.inner("a");
    let p = board.inner("p");
    board.capacitor(v[C1], [ports.input, a], "input capacitor");
    board.resistor(v[R1], [a, ports.output], "feedback");
    board.capacitor(v[C2], [a, p], "node to plus input");
    board.resistor(v[R2], [p, ports.mid], "plus input to mid-supply");
    board.amplifier(p, ports.output, ports.output, "follower");
}
