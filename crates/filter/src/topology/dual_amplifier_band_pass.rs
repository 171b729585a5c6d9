//! Two-op-amp resonator for high Q: a capacitor against a simulated inductor.
//!
//! ```text
//!   input ─ R1 ─┬─ A     A ─ R3 ─ x ─ C2 ─ y ─ R5 ─ out ─ R6 ─ z ─ R7 ─ mid
//!          R2,C1 to mid  U1: + A, − y, drives out      U2: + z, − y, drives x
//! ```
//!
//! The chain from A to mid-supply is a generalised-impedance converter: an inductance
//! `L = R3R5R7C2/R6`, and `1 + R6/R7` times the voltage of A at a low impedance. So
//! `ω0² = R6/(R3R5R7C1C2)`, `ω0/Q = (1/R1 + 1/R2)/C1`, gain at f0
//! `(1 + R6/R7)(R1∥R2)/R1` [FRANCO 4, simulated inductor; A. Antoniou 1969].
//!
//! Design: C1 = C2 = C, R3 = R5 = R6 = R7 = R = `1/(ω0C)`, R1∥R2 = QR,
//! `R1 = 2QR/G`. Where C1 and C2 are to differ, `R = 1/(ω0√(C1C2))` and `R1∥R2 = Q/(ω0C1)`.
//!
//! Limits: gain below 2; width and centre are independent and Q hardly moves with the
//! op-amps (both drifts are about `2f0/ft`, not Q times that): Q to 100, where capacitors
//! and temperature end the matter, and QR must lie in the resistor range.

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
    name: "dual-amplifier band-pass",
    amplifiers: 2,
    places: &[
        Place::capacitor("resonator capacitor"),
        Place::capacitor("converter capacitor").tied_to(C1),
        Place::resistor("converter, first").reactance(1.0, [C1, C2]),
        Place::resistor("converter, second").alike(R3),
        Place::resistor("converter, third").same_as(R3),
        Place::resistor("converter, fourth").alike(R3),
        Place::resistor("input"),
        Place::resistor("ground leg"),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 100.0,
        most_q_source: "capacitors and temperature move it out of its own width",
        most_gain: |_| 1.9,
        least_gain: 0.0,
        noise_gain: |_, _| 8.0,
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
const R5: usize = 3;
const R6: usize = 4;
const R7: usize = 5;
const R1: usize = 6;
const R2: usize = 7;

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let w0 = TAU * section.f0.0;
    let r = 1.0 / (w0 * (c[C1] * c[C2]).sqrt());
    let legs = w0 * c[C1] / section.q;
    let r1 = 2.0 / (legs * gain);
    let leg = legs - 1.0 / r1;
    (leg > 0.0).then(|| vec![c[C1], c[C2], r, r, r, r, r1, 1.0 / leg])
}

fn reached(v: &[f64]) -> Reached {
    let legs = 1.0 / v[R1] + 1.0 / v[R2];
    let w0 = (v[R6] / (v[R3] * v[R5] * v[R7] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: w0 * v[C1] / legs,
        gain: (1.0 + v[R6] / v[R7]) / (v[R1] * legs),
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R3 | R5 => Some((0.0, f64::INFINITY)),
        R7 => {
            let scale = v[R6] / (v[R3] * v[R5] * v[C1] * v[C2]);
            Some((scale / window.w0.1.powi(2), scale / window.w0.0.powi(2)))
        }
        R1 => {
            let (low, high) = window.bandwidth();
            let scale = (1.0 + v[R6] / v[R7]) / v[C1];
            Some((
                scale / (window.gain.1 * high),
                scale / (window.gain.0 * low),
            ))
        }
        _ => {
            let w0 = (v[R6] / (v[R3] * v[R5] * v[R7] * v[C1] * v[C2])).sqrt();
            let q = window.q_given_w0(w0)?;
            let most = w0 * v[C1] / q.0 - 1.0 / v[R1];
            let least = w0 * v[C1] / q.1 - 1.0 / v[R1];
            let top = if least > 0.0 {
                1.0 / least
            } else {
                f64::INFINITY
            };
            (most > 0.0).then_some((1.0 / most, top))
        }
    }
}

/// `E = (sC2 + G5)(G1 + G2 + G3 + sC1)/(h C1C2)`, `h = R7/(R6 + R7)`: both amplifiers.
fn opened(v: &[f64]) -> Opened {
    let share = v[R7] / (v[R6] + v[R7]);
    let node = (1.0 / v[R1] + 1.0 / v[R2] + 1.0 / v[R3]) / v[C1];
    let chain = 1.0 / (v[R5] * v[C2]);
    [
        node * chain / share,
        (node + chain) / share,
        1.0 / share,
        0.0,
    ]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[
            (R6, 1.0),
            (R3, -1.0),
            (R5, -1.0),
            (R7, -1.0),
            (C1, -1.0),
            (C2, -1.0),
        ],
    )];
    let bandwidth = [
        Product(1.0 / v[R1], &[(R1, -1.0), (C1, -1.0)]),
        Product(1.0 / v[R2], &[(R2, -1.0), (C1, -1.0)]),
    ];
    let gain = [
        Product(1.0, &[]),
        Product(v[R6] / v[R7], &[(R6, 1.0), (R7, -1.0)]),
    ];
    let per = [
        Product(1.0, &[]),
        Product(v[R1] / v[R2], &[(R1, 1.0), (R2, -1.0)]),
    ];
    from_products(v.len(), &w0_squared, &bandwidth, &gain, &per)
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let (a, x, y, z) = (
        board.inner("a"),
        board.inner("x"),
        board.inner("y"),
        board.inner("z"),
    );
    board.resistor(v[R1], [ports.input, a], "input");
    board.resistor(v[R2], [a, ports.mid], "ground leg");
    board.capacitor(v[C1], [a, ports.mid], "resonator capacitor");
    board.resistor(v[R3], [a, x], "converter, first");
    board.capacitor(v[C2], [x, y], "converter capacitor");
    board.resistor(v[R5], [y, ports.output], "converter, second");
    board.resistor(v[R6], [ports.output, z], "converter, third");
    board.resistor(v[R7], [z, ports.mid], "converter, fourth");
    board.amplifier(a, y, ports.output, "output amplifier");
    board.amplifier(z, y, x, "converter amplifier");
}
