//! Two-integrator ring (biquad): lossy integrator, integrator, inverter; band-pass output.
//!
//! ```text
//!   input ─ R1 ─┬─ [A1: C1 ∥ R2] ─ out ─ R4 ─ [A2: C2] ─ R5 ─ [A3: R6] ─┐
//!               └──────────────────── R3 ─────────────────────────────────┘
//! ```
//!
//! `H(s) = −(s/(R1C1)) / (s² + s/(R2C1) + (R6/R5)/(R3R4C1C2))` [FRANCO 3, example 3.19;
//! P. Tow 1968, L. Thomas 1971]: `ω0/Q = 1/(R2C1)`, gain at f0 `R2/R1`. R1 sets the gain,
//! R2 the width, R4 the centre: three adjustments that do not touch each other.
//!
//! Design: C1 = C2 = C, R3 = R4 = `1/(ω0C)`, `R2 = QR`, `R1 = R2/G`, R5 = R6 = 10 kΩ (the search lets
//! R6 and R4 differ from R5 and R3 by up to 1.5 times). Where C1 and C2 are to differ, R3 = R4 =
//! `1/(ω0√(C1C2))` and `R2 = Q/(ω0C1)`.
//!
//! Limits: three amplifiers. Their lag raises Q, `ΔQ/Q ≈ +4Qf0/ft`, `Δf0/f0 ≈ −f0/ft`
//! [FRANCO 6, examples 6.9, 6.10]: Q to 50 where ft allows.

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
    name: "two-integrator ring, band-pass",
    amplifiers: 3,
    places: &[
        Place::capacitor("first integrator"),
        Place::capacitor("second integrator").tied_to(C1),
        Place::resistor("width"),
        Place::resistor("input"),
        Place::resistor("inverter, input").near(10e3),
        Place::resistor("inverter, feedback").alike(R5),
        Place::resistor("loop").reactance(1.0, [C1, C2]),
        Place::resistor("second integrator, input").alike(R3),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 50.0,
        most_q_source: "the lag of three op-amps raises Q by 4Q f0/ft",
        most_gain: |section| 2.0 * section.q,
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
const R1: usize = 3;
const R5: usize = 4;
const R6: usize = 5;
const R3: usize = 6;
const R4: usize = 7;

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r = 1.0 / (w0 * (c[C1] * c[C2]).sqrt());
    let r2 = section.q / (w0 * c[C1]);
    Some(vec![c[C1], c[C2], r2, r2 / gain, 10e3, 10e3, r, r])
}

fn reached(v: &[f64]) -> Reached {
    let w0 = (v[R6] / (v[R5] * v[R3] * v[R4] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: w0 * v[R2] * v[C1],
        gain: -v[R2] / v[R1],
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R6 | R3 => Some((0.0, f64::INFINITY)),
        R2 => {
            let (low, high) = window.bandwidth();
            Some((1.0 / (high * v[C1]), 1.0 / (low * v[C1])))
        }
        R1 => Some((v[R2] / window.gain.1, v[R2] / window.gain.0)),
        _ => {
            let (low, high) = window.w0_given_bandwidth(1.0 / (v[R2] * v[C1]));
            let scale = v[R6] / (v[R5] * v[R3] * v[C1] * v[C2]);
            (low <= high).then_some((scale / (high * high), scale / (low * low)))
        }
    }
}

/// `E = (s + B)(s + ω4) + (1 + R6/R5)s(s + B) + s(s + (G1 + G2 + G3)/C1)`, where
/// `B = 1/(R2C1)`, `ω4 = 1/(R4C2)`: one term an amplifier.
fn opened(v: &[f64]) -> Opened {
    let bandwidth = 1.0 / (v[R2] * v[C1]);
    let w4 = 1.0 / (v[R4] * v[C2]);
    let turn = 1.0 + v[R6] / v[R5];
    let summed = (1.0 / v[R1] + 1.0 / v[R2] + 1.0 / v[R3]) / v[C1];
    [
        bandwidth * w4,
        bandwidth + w4 + turn * bandwidth + summed,
        2.0 + turn,
        0.0,
    ]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[
            (R6, 1.0),
            (R5, -1.0),
            (R3, -1.0),
            (R4, -1.0),
            (C1, -1.0),
            (C2, -1.0),
        ],
    )];
    let bandwidth = [Product(1.0, &[(R2, -1.0), (C1, -1.0)])];
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
    let (n, m, i) = (board.inner("n"), board.inner("m"), board.inner("i"));
    let (low, inverted) = (board.inner("lp"), board.inner("inv"));
    board.resistor(v[R1], [ports.input, n], "input");
    board.resistor(v[R3], [inverted, n], "loop");
    board.resistor(v[R2], [ports.output, n], "width");
    board.capacitor(v[C1], [ports.output, n], "first integrator");
    board.amplifier(ports.mid, n, ports.output, "first integrator amplifier");
    board.resistor(v[R4], [ports.output, m], "second integrator, input");
    board.capacitor(v[C2], [low, m], "second integrator");
    board.amplifier(ports.mid, m, low, "second integrator amplifier");
    board.resistor(v[R5], [low, i], "inverter, input");
    board.resistor(v[R6], [inverted, i], "inverter, feedback");
    board.amplifier(ports.mid, i, inverted, "inverter");
}
