//! The values that may be used: those of the series inside the builder's range.

use crate::PartRules;
use crate::topology::{Cause, PlaceKind, Refusal, SLIVER};
use parts::Series;
use units::Quantity;

/// Resistors (ohm) and capacitors (farad), each in rising order without doubles.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    resistors: Vec<f64>,
    capacitors: Vec<f64>,
}

impl Shelf {
    /// A shelf of these values; order and doubles do not matter.
    #[must_use]
    pub fn new(resistors: Vec<f64>, capacitors: Vec<f64>) -> Self {
        Shelf {
            resistors: sorted(resistors),
            capacitors: sorted(capacitors),
        }
    }

    /// The values of the builder's series inside the builder's ranges.
    ///
    /// # Errors
    /// When a series is unknown, or has no value inside its range.
    pub fn from_rules(rules: &PartRules) -> Result<Self, Refusal> {
        let (r, c) = (&rules.resistors, &rules.capacitors);
        Ok(Shelf {
            resistors: stocked("resistor", &r.series, r.from, r.to)?,
            capacitors: stocked("capacitor", &c.series, c.from, c.to)?,
        })
    }

    /// All values of a kind, in rising order.
    #[must_use]
    pub fn all(&self, kind: PlaceKind) -> &[f64] {
        match kind {
            PlaceKind::Resistor => &self.resistors,
            PlaceKind::Capacitor => &self.capacitors,
        }
    }

    /// The values of a kind between two bounds, with a sliver for rounding.
    #[must_use]
    pub fn between(&self, kind: PlaceKind, low: f64, high: f64) -> &[f64] {
        between(self.all(kind), low, high)
    }

    /// The value of a kind nearest to `wanted` by ratio, if the shelf has any.
    #[must_use]
    pub fn nearest(&self, kind: PlaceKind, wanted: f64) -> Option<f64> {
        let off = |v: &f64| (v / wanted).ln().abs();
        let all = self.all(kind).iter();
        all.min_by(|a, b| off(a).total_cmp(&off(b))).copied()
    }
}

/// The part of a rising list between two bounds, with a sliver for rounding.
pub(super) fn between(all: &[f64], low: f64, high: f64) -> &[f64] {
    let first = all.partition_point(|&v| v < low * (1.0 - SLIVER));
    let end = all.partition_point(|&v| v <= high * (1.0 + SLIVER));
    &all[first..end.max(first)]
}

fn sorted(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    // series values a rounding apart are one value
    values.dedup_by(|a, b| (*a / *b - 1.0).abs() < 1e-9);
    values
}

fn stocked<Q: Quantity + std::fmt::Display>(
    what: &str,
    series: &str,
    from: Q,
    to: Q,
) -> Result<Vec<f64>, Refusal> {
    let stock = |why| Refusal::new(Cause::Stock, why);
    let known = Series::ALL
        .iter()
        .find(|s| s.name() == series)
        .ok_or_else(|| {
            let names: Vec<&str> = Series::ALL.iter().map(|s| s.name()).collect();
            stock(format!(
                "no {what} series is called {series}: use one of {}",
                names.join(", ")
            ))
        })?;
    let bounded = from.si() > 0.0 && from.si().is_finite() && to.si().is_finite() && to.si() > 0.0;
    let values: Vec<f64> = if bounded {
        known.values(from, to).iter().map(|v| v.si()).collect()
    } else {
        Vec::new()
    };
    if values.is_empty() {
        return Err(stock(format!(
            "series {series} has no {what} from {from} to {to}: widen the range"
        )));
    }
    Ok(values)
}
