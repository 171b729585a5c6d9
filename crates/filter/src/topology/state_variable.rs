//! State-variable filter: summer, two integrators; high-pass, band-pass, low-pass outputs.
//!
//! ```text
//!   input ─ R3 ─┬─ [A1 summer: R5] ─ hp ─ R6 ─ [A2: C1] ─ bp ─ R7 ─ [A3: C2] ─ lp
//!               └─ R4 ─ from lp       + input of A1: R1 to mid, R2 from bp
//! ```
//!
//! With `N = 1 + R5/R3 + R5/R4`, `ω1 = 1/(R6C1)`, `ω2 = 1/(R7C2)`:
//! `ω0² = (R5/R4)ω1ω2`, `ω0/Q = Nω1R1/(R1 + R2)`; gains: high-pass far above f0 `−R5/R3`,
//! low-pass at DC `−R4/R3`, band-pass at f0 `+(R5/R3)ω1Q/ω0`
//! [FRANCO 3, example 3.18; Kerwin, Huelsman, Newcomb 1967].
//!
//! Design: C1 = C2 = C, R6 = R7 = `1/(ω0C)`, R4 = R5 = 10 kΩ, R3 from the gain, R1 = 1 kΩ,
//! `R2 = R1(NQ − 1)`. With R3 = R5 as well, `R2/R1 = 3Q − 1`. Where C1 and
//! C2 are to differ, R6 = R7 = `1/(ω0√(C1C2))` and `R2 = R1(NQ√(C2/C1) − 1)`.
//!
//! Limits: three amplifiers; their lag raises Q as in the two-integrator ring: Q to 50
//! where ft allows.

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

/// Resistors of the summer, ohm: only their ratio matters.
const SUMMER: f64 = 10e3;

/// R1 in the design equations, ohm; the search looks from here to ten times as much.
const DIVIDER: f64 = 1e3;

const PLACES: &[Place] = &[
    Place::capacitor("first integrator"),
    Place::capacitor("second integrator").tied_to(C1),
    Place::resistor("summer, from low-pass").near(SUMMER),
    Place::resistor("summer, feedback").alike(R4),
    Place::resistor("first integrator, input").reactance(1.0, [C1, C2]),
    Place::resistor("second integrator, input").alike(R6),
    Place::resistor("input"),
    Place::resistor("width, ground leg").between((DIVIDER, 10.0 * DIVIDER)),
    Place::resistor("width, from band-pass"),
];

const C1: usize = 0;
const C2: usize = 1;
const R4: usize = 2;
const R5: usize = 3;
const R6: usize = 4;
const R7: usize = 5;
const R3: usize = 6;
const R1: usize = 7;
const R2: usize = 8;

/// Which output is used.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tap {
    High,
    Band,
    Low,
}

macro_rules! tapped {
    ($recipe:ident, $tap:expr, $name:literal, $shape:pat) => {
        pub(super) const $recipe: Recipe = Recipe {
            name: $name,
            amplifiers: 3,
            places: PLACES,
            input: Some(R3),
            wants_bias: false,
            forced_gain: None,
            limits: Limits {
                least_q: 0.4,
                most_q: 50.0,
                most_q_source: "the lag of three op-amps raises Q by 4Q f0/ft",
                most_gain: |section| if $tap == Tap::Band { section.q } else { 1.0 },
                least_gain: 0.0,
                noise_gain: |section, _| 4.0 * section.q,
            },
            realises: |section| matches!(section.shape, $shape),
            ideal: |section, gain, c| ideal($tap, section, gain, c),
            reached: |v| reached($tap, v),
            bracket: |window, v| bracket($tap, window, v),
            opened,
            sensitivities: |v| sensitivities($tap, v),
            build: |board, ports, v| build($tap, board, ports, v),
        };
    };
}

tapped!(
    BAND_PASS,
    Tap::Band,
    "state-variable, band-pass",
    Shape::BandPass
);
tapped!(
    LOW_PASS,
    Tap::Low,
    "state-variable, low-pass",
    Shape::LowPass
);
tapped!(
    HIGH_PASS,
    Tap::High,
    "state-variable, high-pass",
    Shape::HighPass
);

fn ideal(tap: Tap, section: &Section, gain: f64, c: &[f64]) -> Option<Vec<f64>> {
    let r = 1.0 / (TAU * section.f0.0 * (c[C1] * c[C2]).sqrt());
    // ω1/ω0
    let first = (c[C2] / c[C1]).sqrt();
    let r3 = match tap {
        Tap::Band => SUMMER * section.q * first / gain,
        Tap::High | Tap::Low => SUMMER / gain,
    };
    let r2 = DIVIDER * ((2.0 + SUMMER / r3) * section.q * first - 1.0);
    (r2 > 0.0).then(|| vec![c[C1], c[C2], SUMMER, SUMMER, r, r, r3, DIVIDER, r2])
}

fn summed(v: &[f64]) -> f64 {
    1.0 + v[R5] / v[R3] + v[R5] / v[R4]
}

fn reached(tap: Tap, v: &[f64]) -> Reached {
    let (w1, w2) = (1.0 / (v[R6] * v[C1]), 1.0 / (v[R7] * v[C2]));
    let w0 = (v[R5] / v[R4] * w1 * w2).sqrt();
    let bandwidth = summed(v) * w1 * v[R1] / (v[R1] + v[R2]);
    let gain = match tap {
        Tap::High => -v[R5] / v[R3],
        Tap::Band => v[R5] / v[R3] * w1 / bandwidth,
        Tap::Low => -v[R4] / v[R3],
    };
    Reached {
        w0,
        q: w0 / bandwidth,
        gain,
        wz: None,
    }
}

fn bracket(tap: Tap, window: &Window, v: &[f64]) -> Option<(f64, f64)> {
    match v.len() {
        C1 | C2 | R5 | R6 | R1 => Some((0.0, f64::INFINITY)),
        R7 => {
            let scale = v[R5] / (v[R4] * v[R6] * v[C1] * v[C2]);
            Some((scale / window.w0.1.powi(2), scale / window.w0.0.powi(2)))
        }
        R3 => {
            let scale = match tap {
                Tap::High => (v[R5], v[R5]),
                Tap::Low => (v[R4], v[R4]),
                Tap::Band => {
                    let (low, high) = window.bandwidth();
                    let w1 = v[R5] / (v[R6] * v[C1]);
                    (w1 / high, w1 / low)
                }
            };
            Some((scale.0 / window.gain.1, scale.1 / window.gain.0))
        }
        _ => {
            let w0 = (v[R5] / (v[R4] * v[R6] * v[C1] * v[R7] * v[C2])).sqrt();
            let q = window.q_given_w0(w0)?;
            let per = summed(v) / (v[R6] * v[C1] * w0);
            Some((v[R1] * (per * q.0 - 1.0), v[R1] * (per * q.1 - 1.0)))
        }
    }
}

/// `E = (N + 2)s² + s(ω1 + ω2 + ω0/Q) + ω2·ω0/Q`: one term an amplifier.
fn opened(v: &[f64]) -> Opened {
    let (w1, w2) = (1.0 / (v[R6] * v[C1]), 1.0 / (v[R7] * v[C2]));
    let bandwidth = summed(v) * w1 * v[R1] / (v[R1] + v[R2]);
    [w2 * bandwidth, w1 + w2 + bandwidth, summed(v) + 2.0, 0.0]
}

fn sensitivities(tap: Tap, v: &[f64]) -> Vec<Sensitivity> {
    let w0_squared = [Product(
        1.0,
        &[
            (R5, 1.0),
            (R4, -1.0),
            (R6, -1.0),
            (C1, -1.0),
            (R7, -1.0),
            (C2, -1.0),
        ],
    )];
    // ω0/Q = N·R1/(R1 + R2)/(R6C1): its numerator and its denominator 1 + R2/R1
    let top = [
        Product(1.0, &[(R6, -1.0), (C1, -1.0)]),
        Product(
            v[R5] / v[R3],
            &[(R5, 1.0), (R3, -1.0), (R6, -1.0), (C1, -1.0)],
        ),
        Product(
            v[R5] / v[R4],
            &[(R5, 1.0), (R4, -1.0), (R6, -1.0), (C1, -1.0)],
        ),
    ];
    let bottom = [
        Product(1.0, &[]),
        Product(v[R2] / v[R1], &[(R2, 1.0), (R1, -1.0)]),
    ];
    let one = [Product(1.0, &[])];
    let gain: [Product; 1] = [match tap {
        Tap::High => Product(1.0, &[(R5, 1.0), (R3, -1.0)]),
        Tap::Band => Product(1.0, &[(R5, 1.0), (R3, -1.0), (R6, -1.0), (C1, -1.0)]),
        Tap::Low => Product(1.0, &[(R4, 1.0), (R3, -1.0)]),
    }];
    let whole = from_products(v.len(), &w0_squared, &top, &gain, &one);
    let divided = from_products(v.len(), &one, &bottom, &one, &one);
    let band = tap == Tap::Band;
    let width = from_products(v.len(), &one, &top, &one, &one);
    (0..v.len())
        .map(|k| {
            // slopes of Q with the sign of the bandwidth's two sums
            let q = whole[k].q - divided[k].q;
            let gain = if band {
                whole[k].gain + width[k].q - divided[k].q
            } else {
                whole[k].gain
            };
            Sensitivity::new(whole[k].f0, q, gain)
        })
        .collect()
}

fn build(tap: Tap, board: &mut Board, ports: Ports, v: &[f64]) {
    let own = |board: &mut Board, this: Tap, name: &str| {
        if this == tap {
            ports.output
        } else {
            board.inner(name)
        }
    };
    let high = own(board, Tap::High, "hp");
    let band = own(board, Tap::Band, "bp");
    let low = own(board, Tap::Low, "lp");
    let (n, p, m, k) = (
        board.inner("n"),
        board.inner("p"),
        board.inner("m"),
        board.inner("k"),
    );
    board.resistor(v[R3], [ports.input, n], "input");
    board.resistor(v[R1], [p, ports.mid], "width, ground leg");
    board.resistor(v[R4], [low, n], "summer, from low-pass");
    board.resistor(v[R5], [high, n], "summer, feedback");
    board.resistor(v[R2], [band, p], "width, from band-pass");
    board.amplifier(p, n, high, "summer");
    board.resistor(v[R6], [high, m], "first integrator, input");
    board.capacitor(v[C1], [band, m], "first integrator");
    board.amplifier(ports.mid, m, band, "first integrator amplifier");
    board.resistor(v[R7], [band, k], "second integrator, input");
    board.capacitor(v[C2], [low, k], "second integrator");
    board.amplifier(ports.mid, k, low, "second integrator amplifier");
}
