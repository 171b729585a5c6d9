//! Two parts that act only through their ratio or their product, as one value.
//!
//! A shelf of `n` values has `n²` pairs but far fewer different ratios: series repeat from decade
//! to decade, so that 4k7 over 1k is 47k over 10k. Of pairs that give the same, the least awkward
//! one is kept ([`Taste::BENCH`]); nothing is lost for a search that looks at the ratio alone.

use super::shelf::Shelf;
use super::taste::Taste;
use crate::topology::{PlaceKind, SLIVER};

/// Two values of a shelf and what they give together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    /// Their ratio or product.
    pub(super) value: f64,
    /// The two of them.
    pub(super) parts: [f64; 2],
}

/// Every different ratio of two resistors, rising.
pub(super) fn ratios(shelf: &Shelf) -> Vec<Pair> {
    let of = PlaceKind::Resistor;
    different(shelf, of, of, |above, below| above / below)
}

/// Every different product of a resistor (first) and a capacitor, s, rising.
pub(super) fn products(shelf: &Shelf) -> Vec<Pair> {
    let (first, second) = (PlaceKind::Resistor, PlaceKind::Capacitor);
    different(shelf, first, second, |r, c| r * c)
}

fn different(
    shelf: &Shelf,
    first: PlaceKind,
    second: PlaceKind,
    together: fn(f64, f64) -> f64,
) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for &a in shelf.all(first) {
        pairs.extend(shelf.all(second).iter().map(|&b| {
            let price = Taste::BENCH.of(first, a) + Taste::BENCH.of(second, b);
            let pair = Pair {
                value: together(a, b),
                parts: [a, b],
            };
            (pair, price)
        }));
    }
    pairs.sort_by(|(a, _), (b, _)| a.value.total_cmp(&b.value));
    pairs
        .chunk_by(|(a, _), (b, _)| b.value <= a.value * (1.0 + SLIVER))
        .filter_map(|alike| alike.iter().min_by(|a, b| a.1.total_cmp(&b.1)))
        .map(|(pair, _)| *pair)
        .collect()
}

/// Those of rising pairs whose value lies between two bounds, with a sliver for rounding.
pub(super) fn between(pairs: &[Pair], low: f64, high: f64) -> &[Pair] {
    let first = pairs.partition_point(|p| p.value < low * (1.0 - SLIVER));
    let end = pairs.partition_point(|p| p.value <= high * (1.0 + SLIVER));
    &pairs[first..end.max(first)]
}
