//! Sallen–Key low-pass with alike components round an amplifier of gain K.
//!
//! ```text
//!   input ─ R1 ─┬─ R2 ─┬─ + input      C2 from the node to the output
//!              C2      C1              gain K = 1 + RB/RA
//!             output   mid
//! ```
//!
//! `ω0² = 1/(R1R2C1C2)`, `ω0/Q = (1/R1 + 1/R2)/C2 + (1 − K)/(R2C1)`, gain K at DC
//! [OAFE 16.3.2.1; FRANCO 3, example 3.8]. With all alike `Q = 1/(3 − K)`.
//!
//! Design: C1 = C2 = C, `R = 1/(ω0C)`, `K = 3 − 1/Q`, RA = 10 kΩ. The value search lets R2
//! differ from R1 by up to 1.5 times, K making up for it. Where C1 and C2 are to differ,
//! `R1 = R2 = 1/(ω0√(C1C2))` and `K = 1 + 2C1/C2 − √(C1/C2)/Q`.
//!
//! Limits: K is bound by Q, from 1; Q moves by `(3Q − 1)` per cent for one per cent of K:
//! Q to 5. Amplifier drift: `Δf0/f0 ≈ −½K²f0/ft`, `ΔQ/Q ≈ +½K²f0/ft`.

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

/// Range of RA, ohm: loads the output little, makes little hiss.
pub(super) const DIVIDER: (f64, f64) = (4.7e3, 47e3);

pub(super) const RECIPE: Recipe = Recipe {
    name: "equal-component Sallen–Key low-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("plus input to mid-supply"),
        Place::capacitor("feedback capacitor").tied_to(C1),
        Place::resistor("input").reactance(1.0, [C1, C2]),
        Place::resistor("node to plus input").alike(R1),
        Place::resistor("gain, ground leg").between(DIVIDER),
        Place::resistor("gain, feedback"),
    ],
    input: Some(R1),
    wants_bias: true,
    forced_gain: Some(|section| 3.0 - 1.0 / section.q),
    limits: Limits {
        least_q: 0.53,
        most_q: 5.0,
        most_q_source: "Q moves by 3Q − 1 per cent for one per cent of the gain",
        most_gain: |section| 3.0 - 1.0 / section.q,
        least_gain: 0.0,
        noise_gain: |section, gain| gain * section.q,
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
const RA: usize = 4;
const RB: usize = 5;

fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let r = 1.0 / (TAU * section.f0.0 * (c[C1] * c[C2]).sqrt());
    let ratio = c[C1] / c[C2];
    let extra = 2.0 * ratio - ratio.sqrt() / section.q;
    (extra > 0.0).then(|| vec![c[C1], c[C2], r, r, 10e3, extra * 10e3])
}

fn reached(v: &[f64]) -> Reached {
    let extra = v[RB] / v[RA];
    let w0 = (1.0 / (v[R1] * v[R2] * v[C1] * v[C2])).sqrt();
    let bandwidth = (1.0 / v[R1] + 1.0 / v[R2]) / v[C2] - extra / (v[R2] * v[C1]);
    Reached {
        w0,
        q: w0 / bandwidth,
        gain: 1.0 + extra,
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R1 | RA => Some((0.0, f64::INFINITY)),
        R2 => {
            let scale = v[R1] * v[C1] * v[C2];
            let (low, high) = (window.w0.0, window.w0.1);
            Some((1.0 / (high * high * scale), 1.0 / (low * low * scale)))
        }
        _ => {
            let w0 = (1.0 / (v[R1] * v[R2] * v[C1] * v[C2])).sqrt();
            let q = window.q_given_w0(w0)?;
            let passive = (1.0 / v[R1] + 1.0 / v[R2]) / v[C2];
            let scale = v[RA] * v[R2] * v[C1];
            Some(((passive - w0 / q.0) * scale, (passive - w0 / q.1) * scale))
        }
    }
}

/// `E = K(s² + s((G1 + G2)/C2 + G2/C1) + ω0²)`: gain times the passive network.
fn opened(v: &[f64]) -> Opened {
    let k = 1.0 + v[RB] / v[RA];
    let (g1, g2) = (1.0 / v[R1], 1.0 / v[R2]);
    let first = (g1 + g2) / v[C2] + g2 / v[C1];
    [k * g1 * g2 / (v[C1] * v[C2]), k * first, k, 0.0]
}

fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let extra = v[RB] / v[RA];
    let w0_squared = [Product(
        1.0,
        &[(R1, -1.0), (R2, -1.0), (C1, -1.0), (C2, -1.0)],
    )];
    let bandwidth = [
        Product(1.0 / (v[R1] * v[C2]), &[(R1, -1.0), (C2, -1.0)]),
        Product(1.0 / (v[R2] * v[C2]), &[(R2, -1.0), (C2, -1.0)]),
        Product(
            -extra / (v[R2] * v[C1]),
            &[(RB, 1.0), (RA, -1.0), (R2, -1.0), (C1, -1.0)],
        ),
    ];
    let gain = [Product(1.0, &[]), Product(extra, &[(RB, 1.0), (RA, -1.0)])];
    from_products(
        v.len(),
        &w0_squared,
        &bandwidth,
        &gain,
        &[Product(1.0, &[])],
    )
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let (a, p, n) = (board.inner("a"), board.inner("p"), board.inner("n"));
    board.resistor(v[R1], [ports.input, a], "input");
    board.capacitor(v[C2], [a, ports.output], "feedback capacitor");
    board.resistor(v[R2], [a, p], "node to plus input");
    board.capacitor(v[C1], [p, ports.mid], "plus input to mid-supply");
    board.resistor(v[RA], [n, ports.mid], "gain, ground leg");
    board.resistor(v[RB], [ports.output, n], "gain, feedback");
    board.amplifier(p, n, ports.output, "amplifier");
}
