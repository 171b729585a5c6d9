//! Twin-T notch, bootstrapped: two T networks, the resistors' leg on the amplifier's output.
//!
//! ```text
//!   input ─ R1 ─ a ─ R2 ─┬─ + input       a: C3, C4 to mid-supply
//!         └ C1 ─ b ─ C2 ─┘                b: R3, R4 to the output;  K = 1 + RB/RA
//! ```
//!
//! With four equal resistors and four equal capacitors (each leg is two of them in
//! parallel, so that nothing needs an odd value)
//! `H(s) = K(s² + ω0²)/(s² + s ω0/Q + ω0²)`, `ω0 = 1/(RC)`, `Q = 1/(4 − 2K)`
//! [FRANCO 3, example 3.14; OAFE 16.6]. Without bootstrapping Q is ¼: 4 f0 wide.
//!
//! With parts apart from each other the circuit is of third order,
//! `D = (G2 + sC2)AB − G2²B − (s²C2² + sC2G3K)A`, `A = G1 + G2 + sC3`,
//! `B = s(C1 + C2) + G3`, legs summed: [`reached`] takes its resonant pair.
//!
//! Design: `R = 1/(ω0C)`, `K = 2 − 1/(2Q)`, RA = 10 kΩ.
//!
//! Limits: the null is at f0 only; its depth is that of the parts' match (1 %: about
//! 50 dB); Q moves by `2QK` per cent for one per cent of K: Q to 12. Input to R and C: it
//! wants a stiff driver, which also gives it its direct voltage.

use super::board::{Board, Ports};
use super::drift::Opened;
use super::equal_sallen_key_low_pass::DIVIDER;
use super::place::Place;
use super::reached::Reached;
use super::recipe::{Limits, Recipe};
use super::sensitivity::Sensitivity;
use super::window::Window;
use crate::{Section, Shape};
use num_complex::Complex64;
use std::f64::consts::TAU;

pub(super) const RECIPE: Recipe = Recipe {
    name: "bootstrapped twin-T notch",
    amplifiers: 1,
    places: &[
        Place::capacitor("first series capacitor"),
        Place::capacitor("second series capacitor").same_as(C1),
        Place::capacitor("leg capacitor").same_as(C1),
        Place::capacitor("second leg capacitor").same_as(C1),
        Place::resistor("first series resistor"),
        Place::resistor("second series resistor").same_as(R1),
        Place::resistor("leg resistor").same_as(R1),
        Place::resistor("second leg resistor").same_as(R1),
        Place::resistor("gain, ground leg").between(DIVIDER),
        Place::resistor("gain, feedback"),
    ],
    input: None,
    wants_bias: false,
    forced_gain: Some(|section| 2.0 - 0.5 / section.q),
    limits: Limits {
        least_q: 0.26,
        most_q: 12.0,
        most_q_source: "Q moves by 4Q per cent and more for one per cent of the gain",
        most_gain: |_| 2.0,
        least_gain: 0.0,
        noise_gain: |section, _| 4.0 * section.q,
    },
    realises: |section| match section.shape {
        Shape::Notch { zero } => (zero.0 / section.f0.0 - 1.0).abs() < SAME,
        _ => false,
    },
    ideal,
    reached,
    bracket,
    opened,
    sensitivities,
    build,
};

/// Null and resonance this near are the same frequency to the parts.
const SAME: f64 = 1e-3;

/// Newton steps to the resonant pair of nearly equal parts.
const STEPS: usize = 12;

const C1: usize = 0;
const C2: usize = 1;
const C3: usize = 2;
const C4: usize = 3;
const R1: usize = 4;
const R2: usize = 5;
const R3: usize = 6;
const R4: usize = 7;
const RA: usize = 8;
const RB: usize = 9;

fn ideal(section: &Section, _gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let c = c[C1];
    let r = 1.0 / (TAU * section.f0.0 * c);
    let extra = 1.0 - 0.5 / section.q;
    (extra > 0.0).then(|| vec![c, c, c, c, r, r, r, r, 10e3, 10e3 * extra])
}

/// `D(s)` of the third order, conductances and capacitances of the two T networks.
fn denominator(v: &[f64], s: Complex64) -> Complex64 {
    let k = 1.0 + v[RB] / v[RA];
    let (g1, g2, g3) = (1.0 / v[R1], 1.0 / v[R2], 1.0 / v[R3] + 1.0 / v[R4]);
    let leg = s * (v[C3] + v[C4]);
    let second = s * v[C2];
    let (a, b) = (g1 + g2 + leg, s * v[C1] + second + g3);
    (g2 + second) * a * b - g2 * g2 * b - (second * second + second * g3 * k) * a
}

/// The numerator `G1G2·B + s²C1C2·A`.
fn numerator(v: &[f64], s: Complex64) -> Complex64 {
    let (g1, g2, g3) = (1.0 / v[R1], 1.0 / v[R2], 1.0 / v[R3] + 1.0 / v[R4]);
    let (a, b) = (g1 + g2 + s * (v[C3] + v[C4]), s * (v[C1] + v[C2]) + g3);
    g1 * g2 * b + s * s * v[C1] * v[C2] * a
}

/// Slope of a cubic at `s`, exact but for rounding.
fn slope(cubic: impl Fn(Complex64) -> Complex64, s: Complex64) -> Complex64 {
    // f(s+h) − f(s−h) over 2h is f' + h²f'''/6; a second width removes the rest
    let h = s.norm() * 1e-2;
    let wide = (cubic(s + h) - cubic(s - h)) / (2.0 * h);
    let narrow = (cubic(s + 0.5 * h) - cubic(s - 0.5 * h)) / h;
    (4.0 * narrow - wide) / 3.0
}

fn root(cubic: impl Fn(Complex64) -> Complex64, start: Complex64) -> Complex64 {
    let mut s = start;
    for _ in 0..STEPS {
        let step = cubic(s) / slope(&cubic, s);
        s -= step;
        if step.norm() < 1e-14 * s.norm() {
            break;
        }
    }
    s
}

/// Where equal parts would put the pole in the upper half plane.
fn start(v: &[f64]) -> Complex64 {
    let w0 = (1.0 / (v[R1] * v[R2] * v[C1] * v[C2])).sqrt();
    let half = w0 * (1.0 - v[RB] / v[RA]);
    Complex64::new(-half, (w0 * w0 - half * half).max(0.0).sqrt())
}

fn reached(v: &[f64]) -> Reached {
    let start = start(v);
    let pole = root(|s| denominator(v, s), start);
    let zero = root(|s| numerator(v, s), Complex64::new(0.0, start.norm()));
    Reached {
        w0: pole.norm(),
        q: pole.norm() / (-2.0 * pole.re),
        gain: 1.0 + v[RB] / v[RA],
        wz: Some(zero.norm()),
    }
}

fn bracket(window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | RA => Some((0.0, f64::INFINITY)),
        R1 => Some((1.0 / (window.w0.1 * v[C1]), 1.0 / (window.w0.0 * v[C1]))),
        _ => Some((
            v[RA] * (1.0 - 0.5 / window.q.0),
            v[RA] * (1.0 - 0.5 / window.q.1),
        )),
    }
}

/// `E = K(s² + 4ω0 s + ω0²)`: gain times the passive network of equal parts.
fn opened(v: &[f64]) -> Opened {
    let k = 1.0 + v[RB] / v[RA];
    let w0 = start(v).norm();
    [k * w0 * w0, 4.0 * k * w0, k, 0.0]
}

/// From `δs = −δD/D'`: `D` is linear in every admittance and in K.
fn sensitivities(v: &[f64]) -> Vec<Sensitivity> {
    let pole = root(|s| denominator(v, s), start(v));
    let turn = slope(|s| denominator(v, s), pole);
    let extra = v[RB] / v[RA];
    (0..v.len())
        .map(|place| {
            let mut doubled = v.to_vec();
            // admittance doubled; of RB/RA the ratio
            doubled[place] *= if (R1..=RA).contains(&place) { 0.5 } else { 2.0 };
            let moved = -(denominator(&doubled, pole) - denominator(v, pole)) / turn;
            let sign = if (R1..=RA).contains(&place) {
                -1.0
            } else {
                1.0
            };
            // RA halved doubles RB/RA as RB doubled does: the same rule of signs
            let moved = moved * sign;
            let f0 = (moved / pole).re;
            let gain = if place >= RA {
                sign * extra / (1.0 + extra)
            } else {
                0.0
            };
            Sensitivity::new(f0, f0 - moved.re / pole.re, gain)
        })
        .collect()
}

fn build(board: &mut Board, ports: Ports, v: &[f64]) {
    let (a, b, p, n) = (
        board.inner("a"),
        board.inner("b"),
        board.inner("p"),
        board.inner("n"),
    );
    board.resistor(v[R1], [ports.input, a], "first series resistor");
    board.resistor(v[R2], [a, p], "second series resistor");
    board.capacitor(v[C3], [a, ports.mid], "leg capacitor");
    board.capacitor(v[C4], [a, ports.mid], "second leg capacitor");
    board.capacitor(v[C1], [ports.input, b], "first series capacitor");
    board.capacitor(v[C2], [b, p], "second series capacitor");
    board.resistor(v[R3], [b, ports.output], "leg resistor");
    board.resistor(v[R4], [b, ports.output], "second leg resistor");
    board.resistor(v[RA], [n, ports.mid], "gain, ground leg");
    board.resistor(v[RB], [ports.output, n], "gain, feedback");
    board.amplifier(p, n, ports.output, "amplifier");
}
