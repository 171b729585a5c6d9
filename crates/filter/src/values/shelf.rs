//! The values that may be used: those of the series inside the builder's range, and what lies in
//! the builder's drawer.

use super::stock::{BOUGHT, Stock};
use crate::PartRules;
use crate::topology::{Cause, PlaceKind, Refusal, SLIVER};
use parts::Series;
use units::Quantity;

/// Resistors (ohm) and capacitors (farad), each in rising order without doubles.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    resistors: Vec<f64>,
    capacitors: Vec<f64>,
    /// Where there is a drawer: what is at hand of each of those values.
    hand: Option<[Vec<Hand>; 2]>,
}

/// What is at hand of one value.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hand {
    /// Pieces in the drawer.
    left: usize,
    /// Whether more can be bought.
    sold: bool,
}

/// How far from the value wanted, by factor, a part of the drawer may stand where only a ratio
/// matters.
const NEAR: f64 = 2.0;

impl Shelf {
    /// A shelf of these values; order and doubles do not matter.
    #[must_use]
    pub fn new(resistors: Vec<f64>, capacitors: Vec<f64>) -> Self {
        Shelf {
            resistors: sorted(resistors),
            capacitors: sorted(capacitors),
            hand: None,
        }
    }

    /// The values of the builder's series inside the builder's ranges.
    ///
    /// # Errors
    /// When a series is unknown, or has no value inside its range.
    pub fn from_rules(rules: &PartRules) -> Result<Self, Refusal> {
        let (r, c) = (&rules.resistors, &rules.capacitors);
        let shelf = Shelf {
            resistors: stocked("resistor", &r.series, r.from, r.to)?,
            capacitors: stocked("capacitor", &c.series, c.from, c.to)?,
            hand: None,
        };
        let stock = rules.drawer.as_ref().and_then(|d| d.stock.as_ref());
        Ok(match stock {
            Some(stock) => shelf.beside(stock),
            None => shelf,
        })
    }

    /// The same values to be bought, beside a drawer from which others are taken.
    #[must_use]
    pub fn beside(&self, stock: &Stock) -> Self {
        let kinds = [PlaceKind::Resistor, PlaceKind::Capacitor];
        let lists = kinds.map(|kind| {
            let at_hand = stock.piles(kind).iter().map(|p| p.value);
            sorted(self.all(kind).iter().copied().chain(at_hand).collect())
        });
        let hand = |kind: PlaceKind, list: &[f64]| {
            let of = |&value: &f64| Hand {
                left: stock
                    .piles(kind)
                    .iter()
                    .filter(|p| alike(p.value, value))
                    .map(|p| p.left)
                    .sum(),
                sold: self.all(kind).iter().any(|&v| alike(v, value)),
            };
            list.iter().map(of).collect()
        };
        let hands = [hand(kinds[0], &lists[0]), hand(kinds[1], &lists[1])];
        let [resistors, capacitors] = lists;
        Shelf {
            resistors,
            capacitors,
            hand: Some(hands),
        }
    }

    /// Whether there is a drawer.
    #[must_use]
    pub fn has_drawer(&self) -> bool {
        self.hand.is_some()
    }

    /// Pieces of a value in the drawer.
    #[must_use]
    pub fn left(&self, kind: PlaceKind, value: f64) -> usize {
        self.hand_of(kind, value).map_or(0, |hand| hand.left)
    }

    /// The same with at most so many pieces of a value in the drawer.
    #[must_use]
    pub fn with_at_most(mut self, kind: PlaceKind, value: f64, most: usize) -> Self {
        let index = index_of(self.all(kind), value);
        if let (Some(hands), Some(index)) = (&mut self.hand, index) {
            let hand = &mut hands[slot(kind)][index];
            hand.left = hand.left.min(most);
        }
        self
    }

    /// The same with one piece of each of these values taken out of the drawer, where there is one.
    #[must_use]
    pub fn without(self, kind: PlaceKind, values: impl IntoIterator<Item = f64>) -> Self {
        values.into_iter().fold(self, |shelf, value| {
            let left = shelf.left(kind, value);
            shelf.with_at_most(kind, value, left.saturating_sub(1))
        })
    }

    /// What one more part of a value costs when `used` of it are in use already; `None` where
    /// there is none to be had. What stands on no list is bought.
    #[must_use]
    pub fn price(&self, kind: PlaceKind, value: f64, used: usize) -> Option<f64> {
        if self.hand.is_none() {
            return Some(0.0);
        }
        match self.hand_of(kind, value) {
            Some(hand) if used < hand.left => Some(0.0),
            Some(hand) => hand.sold.then_some(BOUGHT),
            None => Some(BOUGHT),
        }
    }

    /// The values of a kind that can be had at all: in the drawer, or bought.
    #[must_use]
    pub fn to_be_had(&self, kind: PlaceKind) -> Vec<f64> {
        let all = self.all(kind).iter().copied();
        all.filter(|&v| self.price(kind, v, 0).is_some()).collect()
    }

    fn hand_of(&self, kind: PlaceKind, value: f64) -> Option<Hand> {
        let hands = &self.hand.as_ref()?[slot(kind)];
        index_of(self.all(kind), value).map(|index| hands[index])
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
        self.nearest_of(kind, wanted, |_| true)
    }

    /// The value nearest to `wanted` where only its ratio to others matters and `used` says how
    /// many of a value are in use: one of the drawer within a factor of 2, otherwise one to buy.
    #[must_use]
    pub fn about(&self, kind: PlaceKind, wanted: f64, used: impl Fn(f64) -> usize) -> Option<f64> {
        let free = |v: f64| self.price(kind, v, used(v)) == Some(0.0);
        let near = |v: f64| (1.0 / NEAR..=NEAR).contains(&(v / wanted));
        self.nearest_of(kind, wanted, |v| free(v) && near(v))
            .or_else(|| self.nearest_of(kind, wanted, |v| self.price(kind, v, used(v)).is_some()))
    }

    fn nearest_of(&self, kind: PlaceKind, wanted: f64, may: impl Fn(f64) -> bool) -> Option<f64> {
        let off = |v: &f64| (v / wanted).ln().abs();
        let all = self.all(kind).iter().copied().filter(|&v| may(v));
        all.min_by(|a, b| off(a).total_cmp(&off(b)))
    }
}

fn slot(kind: PlaceKind) -> usize {
    match kind {
        PlaceKind::Resistor => 0,
        PlaceKind::Capacitor => 1,
    }
}

/// Whether two numbers are one value: series values a rounding apart are.
pub(crate) fn alike(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-9
}

/// Where a value stands in a rising list.
fn index_of(all: &[f64], value: f64) -> Option<usize> {
    let at = all.partition_point(|&v| v < value * (1.0 - 1e-9));
    all.get(at).filter(|&&v| alike(v, value)).map(|_| at)
}

/// The part of a rising list between two bounds, with a sliver for rounding.
pub(super) fn between(all: &[f64], low: f64, high: f64) -> &[f64] {
    let first = all.partition_point(|&v| v < low * (1.0 - SLIVER));
    let end = all.partition_point(|&v| v <= high * (1.0 + SLIVER));
    &all[first..end.max(first)]
}

fn sorted(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| alike(*a, *b));
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
