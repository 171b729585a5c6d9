//! What lies in the drawer for the places that set a frequency, and how it competes with parts
//! that are bought.
//!
//! The rule: a part from the drawer costs nothing, one that must be bought costs [`BOUGHT`],
//! as much as an error of 1 % of its stage. That is what the tolerance of one 1 % resistor does
//! to a stage anyway, so whoever goes to buy a part gets something for it that can be measured;
//! and of two designs as good the one that wants less buying is taken. The price is never
//! negative and adds up like the cost of awkward values, so branch and bound stays exact.
//!
//! A pile is used up piece by piece: two places cannot both have the last one. A measured piece
//! acts with its measured value and cannot be bought. What is looser than the builder's tolerance
//! and was not measured, of a dielectric unfit for such places, or outside the builder's range,
//! is left where it is.

use crate::PartRules;
use crate::topology::PlaceKind;
use parts::{Drawer, DrawerItem, DrawerPart, Fitness, Place};
use units::Ratio;

/// Cost of a part that must be bought.
pub const BOUGHT: f64 = 0.01;

/// What a measured value is good for: a plain meter (common practice).
pub const METER: Ratio = Ratio(0.01);

/// Piles of a kind that are looked at: what more there is would be told apart by nobody, and
/// pairs of capacitors are tried all with all.
const MOST_PILES: [usize; 2] = [200, 32];

/// Parts that are all alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Pile {
    /// The value they act with, SI: the measured one where there is one.
    pub value: f64,
    /// The printed value, SI.
    pub printed: f64,
    /// Whether it is one piece that was measured.
    pub measured: bool,
    /// How many there are.
    pub left: usize,
    /// What the user wrote about it.
    pub note: String,
    /// Which of the drawer's rows it is, counted from 0.
    pub row: usize,
}

/// What lies in the drawer for frequency-setting places.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stock {
    resistors: Vec<Pile>,
    capacitors: Vec<Pile>,
    /// Piles beyond those that are looked at.
    pub passed_over: usize,
}

impl Stock {
    /// What of a drawer these rules allow.
    #[must_use]
    pub fn of(drawer: &Drawer, rules: &PartRules) -> Self {
        let mut stock = Stock::default();
        for (row, part) in drawer.parts.iter().enumerate() {
            if part.quantity == 0 {
                continue;
            }
            let list = match &part.item {
                DrawerItem::Resistor { value, .. } => {
                    let r = &rules.resistors;
                    let fits = (r.from..=r.to).contains(value) && close(part, r.tolerance);
                    fits.then_some(&mut stock.resistors)
                }
                DrawerItem::Capacitor {
                    value, dielectric, ..
                } => {
                    let c = &rules.capacitors;
                    let fit = dielectric.fitness(Place::FrequencySetting) != Fitness::Unfit;
                    let fits = (c.from..=c.to).contains(value) && close(part, c.tolerance);
                    (fits && fit).then_some(&mut stock.capacitors)
                }
                _ => None,
            };
            if let Some(list) = list {
                list.extend(pile(row, part));
            }
        }
        for (list, most) in [&mut stock.resistors, &mut stock.capacitors]
            .into_iter()
            .zip(MOST_PILES)
        {
            list.sort_by(|a, b| {
                a.value
                    .total_cmp(&b.value)
                    .then(b.measured.cmp(&a.measured))
            });
            stock.passed_over += list.len().saturating_sub(most);
            thin(list, most);
        }
        stock
    }

    /// The piles of a kind, by rising value.
    #[must_use]
    pub fn piles(&self, kind: PlaceKind) -> &[Pile] {
        match kind {
            PlaceKind::Resistor => &self.resistors,
            PlaceKind::Capacitor => &self.capacitors,
        }
    }

    /// Whether any capacitor was measured.
    #[must_use]
    pub fn has_measured_capacitors(&self) -> bool {
        self.capacitors.iter().any(|p| p.measured)
    }

    /// The same drawer as one sees it who goes by what is printed.
    #[must_use]
    pub fn by_print(&self) -> Self {
        let mut stock = self.clone();
        for pile in stock.resistors.iter_mut().chain(&mut stock.capacitors) {
            pile.value = pile.printed;
        }
        stock.resistors.sort_by(|a, b| a.value.total_cmp(&b.value));
        stock.capacitors.sort_by(|a, b| a.value.total_cmp(&b.value));
        stock
    }
}

/// Whether its tolerance is no wider than asked; measured pieces need none.
fn close(part: &DrawerPart, tolerance: Ratio) -> bool {
    let stated = part
        .tolerance
        .is_none_or(|t| t.0 <= tolerance.0 * 1.000_001);
    stated || part.item.measured().is_some()
}

fn pile(row: usize, part: &DrawerPart) -> Option<Pile> {
    let printed = part.item.printed()?;
    let measured = part.item.measured();
    Some(Pile {
        value: measured.unwrap_or(printed),
        printed,
        measured: measured.is_some(),
        left: part.quantity,
        note: part.note.clone(),
        row,
    })
}

/// Leaves so many at most, spread evenly over the list.
fn thin(list: &mut Vec<Pile>, most: usize) {
    let all = list.len();
    if all > most {
        let mut index = 0;
        list.retain(|_| {
            let kept = index * most / all != (index + 1) * most / all;
            index += 1;
            kept
        });
    }
}
