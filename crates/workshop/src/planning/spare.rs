//! What an exchange of values may take where the need names a drawer.
//!
//! Only resistors that lie there unused, as often as they lie there; and in the place of one that
//! must be bought anyway, any other that is sold. So an exchange never adds to what is bought.
//! Pieces that an exchange sets free are not counted again, which is on the safe side.

use circuit::{Circuit, Element};
use filter::Need;
use filter::swaps::Stock;
use filter::topology::PlaceKind;
use filter::values::{Pile, Shelf};
use units::Quantity;

/// Resistors for the places of one circuit.
pub(super) struct Spare {
    /// With no drawer: everything on the shelf. With one: what can be bought.
    sold: Vec<f64>,
    /// Where there is a drawer: its values with the pieces that no place has yet.
    unused: Option<Vec<(f64, usize)>>,
    /// The circuit's own resistors that must be bought.
    bought: Vec<f64>,
}

impl Spare {
    /// What is spare beside a circuit.
    pub(super) fn of(need: &Need, shelf: &Shelf, circuit: &Circuit) -> Self {
        let kind = PlaceKind::Resistor;
        let stock = need.parts.drawer.as_ref().and_then(|d| d.stock.as_ref());
        let Some(stock) = stock else {
            return Spare {
                sold: shelf.all(kind).to_vec(),
                unused: None,
                bought: Vec::new(),
            };
        };
        let used = |value: f64| {
            let resistor = |e: &Element| match e {
                Element::Resistor { value: v, .. } => same(v.si(), value),
                _ => false,
            };
            circuit
                .parts
                .iter()
                .filter(|p| resistor(&p.element))
                .count()
        };
        let left = |value: f64| shelf.left(kind, value);
        let mut unused: Vec<(f64, usize)> = Vec::new();
        for Pile { value, .. } in stock.piles(kind) {
            let spare = left(*value).saturating_sub(used(*value));
            if spare > 0 && !unused.iter().any(|(v, _)| same(*v, *value)) {
                unused.push((*value, spare));
            }
        }
        let values = circuit.parts.iter().filter_map(|p| match p.element {
            Element::Resistor { value, .. } => Some(value.si()),
            _ => None,
        });
        // Nobody has spare of a value that is wanted more often than it is there.
        let bought = values.filter(|&v| used(v) > left(v)).collect();
        let sold = shelf.all(kind).iter().copied();
        Spare {
            sold: sold
                .filter(|&v| shelf.price(kind, v, usize::MAX).is_some())
                .collect(),
            unused: Some(unused),
            bought,
        }
    }

    /// The values that may stand in a place that has this one now, rising.
    pub(super) fn candidates(&self, now: f64) -> Vec<f64> {
        let Some(unused) = &self.unused else {
            return self.sold.clone();
        };
        let mut values: Vec<f64> = unused.iter().map(|(value, _)| *value).collect();
        values.push(now);
        if self.bought.iter().any(|&v| same(v, now)) {
            values.extend(&self.sold);
        }
        values.sort_by(f64::total_cmp);
        values.dedup_by(|a, b| same(*a, *b));
        values
    }

    /// How many of each there are for all places together.
    pub(super) fn stock(&self) -> Stock {
        Stock::new(self.unused.clone().unwrap_or_default())
    }
}

fn same(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-9
}

#[cfg(test)]
mod tests {
    //! Closed form: a drawer and a circuit of a few parts, counted by hand.
    use super::*;
    use filter::values::Stock as Drawn;
    use parts::Drawer;

    #[test]
    fn only_unused_pieces_are_spare() {
        let text = include_str!("../../../../examples/drawer/need.toml");
        let mut need = filter::need::read("need.toml", text).expect("the shipped need reads");
        let rows = "kind,value,quantity\nresistor,10k,2\nresistor,12k,1\nresistor,13k,1\n";
        let drawer = Drawer::read("drawer.csv", rows).expect("a drawer");
        let stock = Drawn::of(&drawer, &need.parts);
        need.parts.drawer.as_mut().expect("a drawer").stock = Some(stock);
        let shelf = Shelf::from_rules(&need.parts).expect("a shelf");
        let circuit = "format = \"narrows circuit 1\"\ntitle = \"t\"\ninput = \"in\"\noutput = \"out\"\n\
            [[part]]\nref = \"R1\"\nkind = \"resistor\"\nvalue = \"10k\"\nbetween = [\"in\", \"out\"]\n\
            [[part]]\nref = \"R2\"\nkind = \"resistor\"\nvalue = \"12k\"\nbetween = [\"out\", \"0\"]\n\
            [[part]]\nref = \"R3\"\nkind = \"resistor\"\nvalue = \"47k\"\nbetween = [\"out\", \"0\"]\n";
        let circuit = circuit::read("c.toml", circuit).expect("a circuit");
        let spare = Spare::of(&need, &shelf, &circuit);
        assert_eq!(spare.stock(), Stock::new(vec![(10e3, 1), (13e3, 1)]));
        assert_eq!(spare.candidates(12e3), [10e3, 12e3, 13e3]);
        // One that is bought may become any other that is sold.
        assert_eq!(
            spare.candidates(47e3).len(),
            shelf.all(PlaceKind::Resistor).len()
        );
        need.parts.drawer = None;
        let shelf = Shelf::from_rules(&need.parts).expect("a shelf");
        let free = Spare::of(&need, &shelf, &circuit);
        assert_eq!(free.candidates(12e3), shelf.all(PlaceKind::Resistor));
        assert_eq!(free.stock(), Stock::default());
    }
}
