//! Two-integrator ring with feed-forward: a notch whose null may lie above or below f0.
//!
//! The band-pass ring with its input resistor replaced by a capacitor Ca into the first
//! integrator and a resistor Rz into the second:
//!
//! `H(s) = −(Ca/C1)(s² + ωz²)/(s² + s/(R2C1) + ω0²)`, `ω0² = (R6/R5)/(R3R4C1C2)`,
//! `ωz² = (R6/R5)/(R3RzCaC2)` [FLEISCHER1973; from memory, derived
//! again from the nodal equations and checked against the netlist]. Gain far above
//! f0 `Ca/C1`, at DC that times `ωz²/ω0²`. No summing amplifier is needed and the depth
//! of the null does not depend on matched parts, only on the amplifiers.
//!
//! Design: C1 = C2 = C, Ca = GC or near, R3 = R4 = `1/(ω0C)`, `R2 = QR`, R5 = R6 = 10 kΩ (the search lets
//! R6 and R4 differ from R5 and R3 by up to 1.5 times),
//! `Rz = 1/(ωz²R3CaC2)`. Where C1 and C2 are to differ, R3 = R4 = `1/(ω0√(C1C2))` and
//! `R2 = Q/(ω0C1)`.
//!
//! Limits: as the band-pass ring; the gain is what capacitor values give; Ca wants a
//! stiff driver.

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
    name: "two-integrator ring, notch",
    amplifiers: 3,
    places: &[
        Place::capacitor("first integrator"),
        Place::capacitor("second integrator").tied_to(C1),
        Place::capacitor("feed-forward capacitor"),
        Place::resistor("width"),
        Place::resistor("inverter, input").near(10e3),
        Place::resistor("inverter, feedback").alike(R5),
        Place::resistor("loop").reactance(1.0, [C1, C2]),
        Place::resistor("second integrator, input").alike(R3),
        Place::resistor("feed-forward"),
    ],
    input: None,
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: 50.0,
        most_q_source: "the lag of three op-amps raises Q by 4Q f0/ft",
        most_gain: |_| 2.0,
        least_gain: 0.0,
        noise_gain: |section, _| 4.0 * section.q,
    },
    realises: |section| matches!(section.shape, Shape::Notch { .. }),
    ideal,
    reached,
    bracket,
    opened,
    sensitivities,
    build,
};

const C1: usize = 0;
const C2: usize = 1;
const CA: usize = 2;
const R2: usize = 3;
const R5: usize = 4;
const R6: usize = 5;
const R3: usize = 6;
const R4: usize = 7;
const RZ: usize = 8;

/// The gain is `Ca/C1`, whatever is asked.
fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let Shape::Notch { zero } = section.shape else {
        return None;
    };
    let w0 = TAU * section.f0.0;
    let r = 1.0 / (w0 * (c[C1] * c[C2]).sqrt());
    let rz = 1.0 / ((TAU * zero.0).powi(2) * r * c[CA] * c[C2]);
    Some(vec![
        c[C1],
        c[C2],
        c[CA],
        section.q / (w0 * c[C1]),
        10e3,
        10e3,
        r,
        r,
        rz,
    ])
}

fn reached(v: &[f64]) -> Reached {
    let turn = v[R6] / v[R5];
    let w0 = (turn / (v[R3] * v[R4] * v[C1] * v[C2])).sqrt();
    Reached {
        w0,
        q: w0 * v[R2] * v[C1],
        gain: -v[CA] / v[C1],
        wz: Some((turn / (v[R3] * v[RZ] * v[CA] * v[C2])).sqrt()),
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R6 | R3 => Some((0.0, f64::INFINITY)),
        CA => Some((v[C1] * window.gain.0, v[C1] * window.gain.1)),
        R2 => {
            let (low, high) = window.bandwidth();
            Some((1.0 / (high * v[C1]), 1.0 / (low * v[C1])))
        }
        R4 => {
            let (low, high) = window.w0_given_bandwidth(1.0 / (v[R2] * v[C1]));
            let scale = v[R6] / (v[R5] * v[R3] * v[C1] * v[C2]);
            (low <= high).then_some((scale / (high * high), scale / (low * low)))
        }
        _ => {
            let scale = v[R6] / (v[R5] * v[R3] * v[CA] * v[C2]);
            Some((scale / window.wz.1.powi(2), scale / window.wz.0.powi(2)))
        }
    }
}

/// As the band-pass ring, with Ca at the first summing node and Rz at the second.
fn opened(v: &[f64]) -> Opened {
    let bandwidth = 1.0 / (v[R2] * v[C1]);
    let w4 = (1.0 / v[R4] + 1.0 / v[RZ]) / v[C2];
    let turn = 1.0 + v[R6] / v[R5];
    let summed = (1.0 / v[R2] + 1.0 / v[R3]) / v[C1];
    let square = 1.0 + turn + 1.0 + v[CA] / v[C1];
    [
        bandwidth * w4,
        bandwidth + w4 + turn * bandwidth + summed,
        square,
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
    let gain = [Product(1.0, &[(CA, 1.0), (C1, -1.0)])];
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
    board.capacitor(v[CA], [ports.input, n], "feed-forward capacitor");
    board.resistor(v[RZ], [ports.input, m], "feed-forward");
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
