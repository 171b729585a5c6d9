//! The values there are for a part: a series in a range, or a drawer.
//!
//! What lies in the drawer and is unfit to tune with stays there, as when a circuit is planned
//! from it: capacitors of a dielectric that keeps no value, and what is looser than the parts it
//! would replace, unless it was measured. A measured piece acts with its measured value.

use crate::retune::ValueRule;
use circuit::{Circuit, Element};
use filter::swaps::Stock;
use parts::{Drawer, DrawerPart, Fitness, Place, Series};
use units::{Farads, Ohms, Quantity, Ratio};

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
    /// The rows of the drawer that may be used, those first that are used first.
    rows: Vec<DrawerPart>,
    /// Resistors and capacitors of the drawer that may not.
    aside: [Vec<DrawerPart>; 2],
}

impl Shelves {
    /// From the rules, or from a drawer and the loosest tolerances of resistors and capacitors.
    ///
    /// # Errors
    /// A sentence when there is nothing at all.
    pub(crate) fn new(
        resistors: Option<&ValueRule<Ohms>>,
        capacitors: Option<&ValueRule<Farads>>,
        drawer: Option<(&Drawer, (Ratio, Ratio))>,
    ) -> Result<Self, String> {
        match drawer {
            Some((drawer, loosest)) => Shelves::of_drawer(drawer, loosest),
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
            rows: Vec::new(),
            aside: [Vec::new(), Vec::new()],
        })
    }

    fn of_drawer(drawer: &Drawer, loosest: (Ratio, Ratio)) -> Result<Self, String> {
        let there = drawer.parts.iter().filter(|p| p.quantity > 0);
        let of_kind = |kind: &str, loosest: Ratio| -> (Vec<DrawerPart>, Vec<DrawerPart>) {
            let all = there.clone().filter(|p| p.item.kind() == kind).cloned();
            all.partition(|p| is_fit(p, loosest))
        };
        let (resistors, loose) = of_kind("resistor", loosest.0);
        let (capacitors, unfit) = of_kind("capacitor", loosest.1);
        if resistors.is_empty() && capacitors.is_empty() {
            return Err(format!(
                "the drawer holds no resistor and no capacitor to tune with{}; put parts in it, or \
                 leave --drawer out to choose from a series",
                left_aside(&[loose, unfit].concat())
            ));
        }
        let stock = |rows: &[DrawerPart]| {
            let acting = |p: &DrawerPart| Some((acts(p)?, p.quantity));
            Stock::new(rows.iter().filter_map(acting).collect())
        };
        let (r, c) = (stock(&resistors), stock(&capacitors));
        let told = || "what is in the drawer".to_owned();
        let mut rows = [resistors, capacitors].concat();
        let tolerance = |p: &DrawerPart| p.tolerance.map_or(1.0, |t| t.0);
        rows.sort_by(|a, b| {
            let measured = |p: &DrawerPart| p.item.measured().is_some();
            let first = measured(b).cmp(&measured(a));
            first.then(tolerance(a).total_cmp(&tolerance(b)))
        });
        // Ohms and farads share no number.
        Ok(Shelves {
            resistors: r.values().collect(),
            capacitors: c.values().collect(),
            stock: r.and(c),
            resistors_told: told(),
            capacitors_told: told(),
            rows,
            aside: [loose, unfit],
        })
    }

    /// Whoever takes pieces out of the drawer, each once.
    pub(crate) fn hands(&self) -> Hands<'_> {
        Hands {
            rows: &self.rows,
            left: self.rows.iter().map(|p| p.quantity).collect(),
        }
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
        let mut aside = Vec::new();
        for (rows, kind) in self.aside.iter().zip([resistors, capacitors]) {
            aside.extend(rows.iter().filter(|_| kind).cloned());
        }
        told.join(", ") + &left_aside(&aside)
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

/// Takes pieces out of the drawer.
pub(crate) struct Hands<'s> {
    rows: &'s [DrawerPart],
    left: Vec<usize>,
}

impl<'s> Hands<'s> {
    /// The row of a piece that acts with this value where this element was, measured ones first;
    /// `None` where there is no drawer.
    pub(crate) fn take(&mut self, element: &Element, value: f64) -> Option<&'s DrawerPart> {
        let is_it = |k: &usize| {
            let row = &self.rows[*k];
            let same = acts(row).is_some_and(|v| v.to_bits() == value.to_bits());
            same && row.item.kind() == element.kind() && self.left[*k] > 0
        };
        let row = (0..self.rows.len()).find(is_it)?;
        self.left[row] -= 1;
        Some(&self.rows[row])
    }
}

/// The value a piece acts with.
fn acts(part: &DrawerPart) -> Option<f64> {
    part.item.measured().or_else(|| part.item.printed())
}

/// Whether a piece is fit to tune with.
fn is_fit(part: &DrawerPart, loosest: Ratio) -> bool {
    let keeps = |d: parts::Dielectric| d.fitness(Place::FrequencySetting) != Fitness::Unfit;
    // A rounding at the bound is no reason to leave it.
    let close = |t: Ratio| t.0 <= loosest.0 * 1.000_001;
    part.item.dielectric().is_none_or(keeps)
        && (part.item.measured().is_some() || part.tolerance.is_none_or(close))
}

/// Rows that are named before the rest is counted.
const NAMED: usize = 3;

/// What is left in the drawer, in words for the end of a sentence.
fn left_aside(rows: &[DrawerPart]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let mut names: Vec<String> = rows.iter().take(NAMED).map(DrawerPart::plain).collect();
    if rows.len() > NAMED {
        names.push(format!("{} more", rows.len() - NAMED));
    }
    format!(", left aside as unfit to tune with: {}", names.join(", "))
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
