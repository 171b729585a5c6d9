//! The values there are for a part: a series in a range, or a drawer.

use crate::retune::ValueRule;
use circuit::{Circuit, Element};
use filter::swaps::Stock;
use parts::{Drawer, DrawerItem, Series};
use units::{Farads, Ohms, Quantity};

/// Values of resistors where nothing else is said: what 5 % kits hold, in the range in which noise,
/// leakage and loading are no concern (common practice).
const RESISTORS: (Series, Ohms, Ohms) = (Series::E24, Ohms(100.0), Ohms(2.2e6));
/// The same of capacitors: film as it is sold.
const CAPACITORS: (Series, Farads, Farads) = (Series::E6, Farads(1e-9), Farads(470e-9));
/// A part is not changed by more than this factor: what is beyond is another design.
const FARTHEST: f64 = 10.0;

/// Resistors and capacitors that may be used, SI.
pub(crate) struct Shelves {
    resistors: Vec<f64>,
    capacitors: Vec<f64>,
    /// How many there are, where that is known.
    pub(crate) stock: Stock,
    resistors_told: String,
    capacitors_told: String,
}

impl Shelves {
    /// From the rules, or from a drawer.
    ///
    /// # Errors
    /// A sentence when there is nothing at all.
    pub(crate) fn new(
        resistors: Option<&ValueRule<Ohms>>,
        capacitors: Option<&ValueRule<Farads>>,
        drawer: Option<&Drawer>,
    ) -> Result<Self, String> {
        match drawer {
            Some(drawer) => Shelves::of_drawer(drawer),
            None => Shelves::of_series(resistors, capacitors),
        }
    }

    fn of_series(
        resistors: Option<&ValueRule<Ohms>>,
        capacitors: Option<&ValueRule<Farads>>,
    ) -> Result<Self, String> {
        let (r, r_told) = values("resistor", resistors, RESISTORS)?;
        let (c, c_told) = values("capacitor", capacitors, CAPACITORS)?;
        Ok(Shelves {
            resistors: r,
            capacitors: c,
            stock: Stock::default(),
            resistors_told: format!("resistors {r_told}"),
            capacitors_told: format!("capacitors {c_told}"),
        })
    }

    fn of_drawer(drawer: &Drawer) -> Result<Self, String> {
        let (mut resistors, mut capacitors) = (Vec::new(), Vec::new());
        for part in drawer.parts.iter().filter(|p| p.quantity > 0) {
            match &part.item {
                DrawerItem::Resistor { value, measured } => {
                    resistors.push((measured.unwrap_or(*value).si(), part.quantity));
                }
                DrawerItem::Capacitor {
                    value, measured, ..
                } => {
                    capacitors.push((measured.unwrap_or(*value).si(), part.quantity));
                }
                _ => {}
            }
        }
        if resistors.is_empty() && capacitors.is_empty() {
            return Err(
                "the drawer holds no resistor and no capacitor; put parts in it, or leave \
                 --drawer out to choose from a series"
                    .to_owned(),
            );
        }
        let (resistors, capacitors) = (Stock::new(resistors), Stock::new(capacitors));
        let told = || "what is in the drawer".to_owned();
        // Ohms and farads share no number.
        Ok(Shelves {
            resistors: resistors.values().collect(),
            capacitors: capacitors.values().collect(),
            stock: resistors.and(capacitors),
            resistors_told: told(),
            capacitors_told: told(),
        })
    }

    /// Where the values of these kinds of part come from, in words.
    pub(crate) fn told(&self, resistors: bool, capacitors: bool) -> String {
        let mut told: Vec<&str> = Vec::new();
        if resistors {
            told.push(&self.resistors_told);
        }
        if capacitors && !told.contains(&self.capacitors_told.as_str()) {
            told.push(&self.capacitors_told);
        }
        told.join(", ")
    }

    /// The values for one part of a circuit, rising.
    pub(crate) fn candidates(&self, circuit: &Circuit, part: usize) -> Vec<f64> {
        let (now, all) = match &circuit.parts[part].element {
            Element::Resistor { value, .. } => (value.si(), &self.resistors),
            Element::Capacitor { value, .. } => (value.si(), &self.capacitors),
            _ => return Vec::new(),
        };
        let near = (now / FARTHEST)..=(now * FARTHEST);
        all.iter().copied().filter(|v| near.contains(v)).collect()
    }
}

fn values<Q: Quantity>(
    what: &str,
    rule: Option<&ValueRule<Q>>,
    (series, from, to): (Series, Q, Q),
) -> Result<(Vec<f64>, String), String> {
    let series = rule.map_or(series, |r| r.series);
    let from = rule.and_then(|r| r.from).unwrap_or(from);
    let to = rule.and_then(|r| r.to).unwrap_or(to);
    let all: Vec<f64> = series.values(from, to).iter().map(|v| v.si()).collect();
    if all.is_empty() {
        return Err(format!(
            "the series {series} has no {what} from {from} to {to}; widen the range"
        ));
    }
    Ok((all, format!("{series}, {from} to {to}")))
}
