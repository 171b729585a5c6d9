//! The textbook's answer: every resistor that sets a frequency scaled alike.
//!
//! With every resistance multiplied by `a` and every capacitance left, `H(s)` becomes `H(as)`:
//! centre and width go down by `a` together, gain and shape stay (exact with ideal amplifiers). It
//! is what fewer swaps are measured by.

use super::bench::Bench;
use circuit::system::Property;
use circuit::variants::Variants;
use filter::swaps::{Place, Stock, Swap, Swaps, error};

/// All resistors scaled to the centre wanted, each set to the value nearest to it by ratio; `None`
/// where nothing would change, where the drawer has too few, or where it has no answer.
pub(crate) fn scaled(bench: &Bench<'_>, places: &[Place], stock: &Stock) -> Option<Swaps> {
    let by = bench.old.centre_hz / bench.wanted.pitch_hz;
    let mut values: Vec<f64> = places.iter().map(|p| p.now).collect();
    let mut swaps = Vec::new();
    let mut price = 0.0;
    for (k, place) in places.iter().enumerate() {
        let property = bench.system.parameters()[place.parameter].property;
        if property != Property::Resistance {
            continue;
        }
        let to = nearest(&place.candidates, by * place.now)?;
        if (to / place.now - 1.0).abs() > 1e-9 {
            values[k] = to;
            price += place.price;
            swaps.push(Swap { place: k, to });
        }
    }
    if swaps.is_empty() || !stock.covers(swaps.iter().map(|s| s.to)) {
        return None;
    }
    let mut variants = Variants::of(places.iter().map(|p| p.parameter).collect());
    variants.push(&values).ok()?;
    let residuals = bench.judge(&variants).pop()??;
    Some(Swaps {
        swaps,
        price,
        error: error(&residuals),
        residuals,
        proven: false,
    })
}

fn nearest(values: &[f64], wanted: f64) -> Option<f64> {
    let off = |v: &f64| (v / wanted).ln().abs();
    let all = values.iter();
    all.min_by(|a, b| off(a).total_cmp(&off(b))).copied()
}
