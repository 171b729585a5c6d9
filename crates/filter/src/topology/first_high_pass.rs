//! First-order high-pass: one inverting op-amp, a capacitor, two resistors.
//!
//! `H(s) = −(R2/R1) s/(s + 1/(R1C))` [OAFE 16.4.1]: `ω0 = 1/(R1C)`, gain far above f0
//! `R2/R1`. What drives it adds to R1. Design: `R1 = 1/(ω0C)`, `R2 = GR1`.
//! Limit: gain to 10.

use super::board::{Board, Ports};
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::slopes::{Product, sensitivities as from_products};
use super::window::Window;
use crate::{Section, Shape};
use std::f64::consts::TAU;

pub(super) const RECIPE: Recipe = Recipe {
    name: "first-order high-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("input capacitor"),
        Place::resistor("input"),
        Place::resistor("feedback"),
    ],
    input: Some(R1),
    wants_bias: false,
    forced_gain: None,
    limits: Limits {
        least_q: 0.0,
        most_q: f64::INFINITY,
        most_q_source: "",
        most_gain: |_| 10.0,
        least_gain: 0.0,
        noise_gain: |_, gain| 1.0 + gain,
    },
    realises: |section| matches!(section.shape, Shape::FirstHighPass),
    ideal,
    reached,
    bracket,
    opened: |_| [0.0; 4],
    sensitivities,
    build,
};

const C: usize = 0;
const R1: usize = 1;
const R2: usize = 2;

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let r1 = 1.0 / (TAU * section.f0.0 * c[C]);
    Some(vec![c[C], r1, r1 * gain])
}

fn reached(v: &[f64]) -> Reached {
    Reached {
        w0: 1.0 / (v[R1] * v[C]),
        q: 0.5,
        gain: -v[R2] / v[R1],
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C => Some((0.0, f64::INFINITY)),
        R1 => Some((1.0 / (window.w0.1 * v[C]), 1.0 / (window.w0.0 * v[C]))),
        _ => Some((v[R1] * window.gain.0, v[R1] * window.gain.1)),
    }
}

/// Of a real pole; there is no Q to move.
fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(1.0, &[(R1, -2.0), (C, -2.0)])];
    let width = [Product(1.0, &[(R1, -1.0), (C, -1.0)])];
    let gain = [Product(1.0, &[(R2, 1.0), (R1, -1.0)])];
    from_products(v.len(), &w0_squared, &width, &gain, &[Product(1.0, &[])])
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let (a, n) = (board.inner("a"), board.inner("n"));
    board.resistor(v[R1], [ports.input, a], "input");
    board.capacitor(v[C], [a, n], "input capacitor");
    board.resistor(v[R2], [ports.output, n], "feedback");
    board.amplifier(ports.mid, n, ports.output, "high-pass");
}
