//! Multiple-feedback band-pass: one inverting op-amp, two capacitors, three resistors.
//!
//! ```text
//!            R1          ┌── C1 ──┬────┐
//!   input ──████──┬──────┤        │    │      node a: R1, R2, C1, C2
//!              R2 █      └── C2 ──┼ −  │      C1 from a to the output
//!                 │          R3 ██┘ + >┴ out  C2 from a to the inverting input
//!                mid                          R3 from the output to the inverting input
//! ```
//!
//! `H(s) = −(s/(R1C1)) / (s² + s(1/C1 + 1/C2)/R3 + (1/R1 + 1/R2)/(R3C1C2))`
//! [OAFE 16.5.1.2; FRANCO 3]: `ω0/Q = (1/C1 + 1/C2)/R3`, gain at f0
//! `G = (R3/R1)·C2/(C1 + C2)`. R1 and R2 are the input and ground leg of one divider, so
//! any gain below `2Q²` costs no extra part, and R2 moves f0 while width and gain stay.
//!
//! Design from C1, C2: `R3 = (1/C1 + 1/C2)Q/ω0`, `R1 = R3·C2/((C1 + C2)G)`,
//! `1/R2 = ω0²R3C1C2 − 1/R1`. It must be positive: `G < Q²(1 + C2/C1)`.
//!
//! Limits: the amplifier works at a noise gain of about `2Q²`, wants an open-loop gain
//! 20 dB above it, and the resistors spread as `R3/R2 ≈ 4Q²`: Q to 20 (data-book advice,
//! read). Amplifier drift, equal C: `Δf0/f0 ≈ −Q f0/ft`, `ΔQ/Q ≈ +Q f0/ft`.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::window::Window;
use crate::{Section, Shape};
use std::f64::consts::TAU;

pub(super) const RECIPE: Recipe = Recipe {
    name: "multiple-feedback band-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("node to output"),
        Place::capacitor("node to inverting input"),
        Place::resistor("feedback"),
        Place::resistor("input"),
        Place::resistor("ground leg"),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 20.0,
        most_q_source: "resistors spread as 4Q² and the op-amp works at a gain of 2Q²",
        most_gain: |section| 2.0 * section.q * section.q,
        least_gain: 0.0,
        noise_gain: |section, _| 2.0 * section.q * section.q,
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
const R3: usize = 2;
const R1: usize = 3;
const R2: usize = 4;

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r3 = (1.0 / c[C1] + 1.0 / c[C2]) * section.q / w0;
    let r1 = r3 * c[C2] / ((c[C1] + c[C2]) * gain);
    let leg = w0 * w0 * r3 * c[C1] * c[C2] - 1.0 / r1;
    (leg > 0.0).then(|| vec![c[C1], c[C2], r3, r1, 1.0 / leg])
}

fn reached(v: &[f64]) -> Reached {
    let bandwidth = (1.0 / v[C1] + 1.0 / v[C2]) / v[R3];
    let w0 = ((1.0 / v[R1] + 1.0 / v[R2]) / (v[R3] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: w0 / bandwidth,
        gain: -v[R3] / v[R1] * v[C2] / (v[C1] + v[C2]),
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 => Some((0.0, f64::INFINITY)),
        R3 => {
            let (low, high) = window.bandwidth();
            let sum = 1.0 / v[C1] + 1.0 / v[C2];
            Some((sum / high, sum / low))
        }
        R1 => {
            let scale = v[R3] * v[C2] / (v[C1] + v[C2]);
            Some((scale / window.gain.1, scale / window.gain.0))
        }
        _ => {
            let bandwidth = (1.0 / v[C1] + 1.0 / v[C2]) / v[R3];
            let (low, high) = window.w0_given_bandwidth(bandwidth);
            let product = v[R3] * v[C1] * v[C2];
            let most = high * high * product - 1.0 / v[R1];
            let least = low * low * product - 1.0 / v[R1];
            let top = if least > 0.0 {
                1.0 / least
            } else {
                f64::INFINITY
            };
            (most > 0.0 && low <= high).then_some((1.0 / most, top))
        }
    }
}

/// `E = s² + s(ω0/Q + (1/R1 + 1/R2)/C1) + ω0²`, the network with the loop open; with
/// the design equations the extra term is `ω0 Q (1 + C2/C1)`.
fn opened(v: &[f64]) -> Opened {
    let legs = 1.0 / v[R1] + 1.0 / v[R2];
    let bandwidth = (1.0 / v[C1] + 1.0 / v[C2]) / v[R3];
    let w0_squared = legs / (v[R3] * v[C1] * v[C2]);
    [w0_squared, bandwidth + legs / v[C1], 1.0, 0.0]
}

/// Closed form; [FRANCO, ch. 3] for f0 and Q.
fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let legs = v[R1] + v[R2];
    let skew = (v[C2] - v[C1]) / (2.0 * (v[C1] + v[C2]));
    let share = v[C1] / (v[C1] + v[C2]);
    let r1 = -0.5 * v[R2] / legs;
    let r2 = -0.5 * v[R1] / legs;
    vec![
        Sensitivity::new(-0.5, skew, -share),
        Sensitivity::new(-0.5, -skew, share),
        Sensitivity::new(-0.5, 0.5, 1.0),
        Sensitivity::new(r1, r1, -1.0),
        Sensitivity::new(r2, r2, 0.0),
    ]
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let a = board.inner("a");
    let n = board.inner("n");
    board.resistor(v[R1], [ports.input, a], "input");
    board.resistor(v[R2], [a, ports.mid], "ground leg");
    board.capacitor(v[C1], [a, ports.output], "node to output");
    board.capacitor(v[C2], [a, n], "node to inverting input");
    board.resistor(v[R3], [ports.output, n], "feedback");
    board.amplifier(ports.mid, n, ports.output, "resonator");
}
