//! The multiple-feedback band-pass in closed form, and its parts as a lot.
//!
//! `ω0² = (R1 + R2)/(R1 R2 R3 C1 C2)`, `Q = ω0 R3 C1 C2/(C1 + C2)` [FRANCO, chapter 3].

use spread::{Law, Lot, Place};
use std::f64::consts::TAU;

/// 700 Hz and Q 4: R1 input, R2 ground leg, R3 feedback, C1, C2.
pub(super) const VALUES: [f64; 5] = [90.9e3, 2.94e3, 182e3, 10e-9, 10e-9];

/// Natural frequency, Hz, and Q of a stage whose parts are these multiples of [`VALUES`].
pub(super) fn f0_and_q(ratios: &[f64]) -> [f64; 2] {
    let [r1, r2, r3, c1, c2] = [0, 1, 2, 3, 4].map(|k| VALUES[k] * ratios[k]);
    let w0 = ((r1 + r2) / (r1 * r2 * r3 * c1 * c2)).sqrt();
    [w0 / TAU, w0 * r3 * c1 * c2 / (c1 + c2)]
}

/// [`f0_and_q`] of many builds.
pub(super) fn evaluate(ratios: &[f64]) -> Vec<f64> {
    ratios.chunks_exact(5).flat_map(f0_and_q).collect()
}

/// Its parts: both capacitors from one bag, alike as said; resistors bought apart.
pub(super) fn lot(resistors: f64, capacitors: f64, law: Law, alike: f64) -> Lot {
    let place = |k: usize| Place {
        name: ["R1", "R2", "R3", "C1", "C2"][k].to_owned(),
        nominal: VALUES[k],
        tolerance: if k < 3 { resistors } else { capacitors },
        law,
        bag: (k >= 3).then_some(0),
        slope_per_kelvin: 0.0,
    };
    Lot {
        places: (0..5).map(place).collect(),
        alike: vec![alike],
        warmth_k: (0.0, 0.0),
    }
}
