//! Many builds of one circuit, and where they are looked at: what the solver of variants is measured
//! on.

use crate::awkward::Stream;
use circuit::system::System;
use circuit::variants::Variants;

/// So many builds with every resistor, capacitor and inductor within 5 % of its value; always the
/// same ones.
#[must_use]
pub fn built(system: &System, count: usize) -> Variants {
    let varying: Vec<usize> = (0..system.parameters().len())
        .filter(|&k| system.parameters()[k].property.is_value())
        .collect();
    let mut variants = Variants::of(varying.clone());
    let mut stream = Stream::new(7);
    for _ in 0..count {
        let off = |&k: &usize| system.parameters()[k].value * stream.between(0.95, 1.05);
        let values: Vec<f64> = varying.iter().map(off).collect();
        variants
            .push(&values)
            .expect("values near those of real parts");
    }
    variants
}

/// So many frequencies from 200 Hz up to 2 kHz, evenly by ratio, Hz.
#[must_use]
pub fn decade(count: usize) -> Vec<f64> {
    (0..count)
        .map(|k| 200.0 * 10_f64.powf(k as f64 / count as f64))
        .collect()
}
