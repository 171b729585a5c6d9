//! First-order low-pass: one inverting op-amp, two resistors, a capacitor.
//!
//! `H(s) = −(R2/R1)/(1 + sR2C)` [OAFE 16.3.1]: `ω0 = 1/(R2C)`, gain at DC `R2/R1`.
//! Design: `R2 = 1/(ω0C)`, `R1 = R2/G`. Limit: gain to 10.

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
    name: "first-order low-pass",
    amplifiers: 1,
    places: &[
        Place::capacitor("feedback capacitor"),
        Place::resistor("feedback"),
        Place::resistor("input"),
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
    realises: |section| matches!(section.shape, Shape::FirstLowPass),
    ideal,
    reached,
    bracket,
    opened: |_| [0.0; 4],
    sensitivities,
    build,
};

const C: usize = 0;
const R2: usize = 1;
const R1: usize = 2;

fn ideal(section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let r2 = 1.0 / (TAU * section.f0.0 * c[C]);
    Some(vec![c[C], r2, r2 / gain])
}

fn reached(v: &[f64]) -> Reached {
    Reached {
        w0: 1.0 / (v[R2] * v[C]),
        q: 0.5,
        gain: -v[R2] / v[R1],
        wz: None,
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C => Some((0.0, f64::INFINITY)),
        R2 => Some((1.0 / (window.w0.1 * v[C]), 1.0 / (window.w0.0 * v[C]))),
        _ => Some((v[R2] / window.gain.1, v[R2] / window.gain.0)),
    }
}

/// Of a real pole; there is no Q to move.
fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(1.0, &[(R2, -2.0), (C, -2.0)])];
    let width = [Product(1.0, &[(R2, -1.0), (C, -1.0)])];
    let gain = [Product(1.0, &[(R2, 1.0), (R1, -1.0)])];
    from_products(v.len(), &w0_squared, &width, &gain, &[Product(1.0, &[])])
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let n = board.inner("n");
    board.resistor(v[R1], [ports.input, n], "input");
    board.resistor(v[R2], [ports.output, n], "feedback");
    board.capacitor(v[C], [ports.output, n], "feedback capacitor");
    board.amplifier(ports.mid, n, ports.output, "low-pass");
}
