//! Slow judge for shelves beside a drawer: every combination, its pieces counted afterwards.

use super::exhaustive::drawn;
use crate::need::{CapacitorRule, PartRules, ResistorRule};
use crate::topology::{PlaceKind, Rule, Topology};
use crate::values::{Aim, BOUGHT, Shelf, Stock, Task, search};
use numeric::SplitMix;
use parts::{Dielectric, Drawer};
use std::f64::consts::TAU;
use units::{Farads, Ohms, Ratio};

/// Drawers tried for each topology.
const DRAWERS: usize = 8;

/// Rules that allow everything.
fn rules() -> PartRules {
    PartRules {
        resistors: ResistorRule {
            series: "E24".to_owned(),
            tolerance: Ratio(0.05),
            from: Ohms(1.0),
            to: Ohms(1e8),
            pairs: false,
        },
        capacitors: CapacitorRule {
            series: "E6".to_owned(),
            tolerance: Ratio(0.05),
            kind: Dielectric::Film,
            from: Farads(1e-12),
            to: Farads(1e-3),
            pairs: false,
            unequal: false,
        },
        opamps: Vec::new(),
        most_stages: 4,
        drawer: None,
    }
}

fn stock(rows: &str) -> Stock {
    let text = format!("kind,value,tolerance,dielectric,quantity,measured,note\n{rows}");
    let drawer = Drawer::read("d.csv", &text).unwrap_or_else(|c| panic!("{c}"));
    Stock::of(&drawer, &rules())
}

/// Some of the shelf's values, one or two of each, and measured pieces of its capacitors; a few
/// values are in the drawer only.
fn random_stock(random: &mut SplitMix, shelf: &Shelf) -> (Stock, Shelf) {
    let mut rows = String::new();
    let (mut sold_r, mut sold_c) = (Vec::new(), Vec::new());
    for &r in shelf.all(PlaceKind::Resistor) {
        let pieces = (random.unit() * 3.0) as usize;
        rows += &format!("resistor,{r} ohm,1 %,,{pieces},,\n");
        if pieces == 0 || random.unit() < 0.7 {
            sold_r.push(r);
        }
    }
    for &c in shelf.all(PlaceKind::Capacitor) {
        let off = 1.0 + 0.08 * (random.unit() - 0.5);
        let (c_nf, measured) = (c * 1e9, c * 1e9 * off);
        match (random.unit() * 3.0) as usize {
            0 => rows += &format!("capacitor,{c_nf:.6}n,5 %,film,1,{measured:.4}n,\n"),
            1 => rows += &format!("capacitor,{c_nf:.6}n,5 %,film,1,,\n"),
            _ => {}
        }
        sold_c.push(c);
    }
    (stock(&rows), Shelf::new(sold_r, sold_c))
}

struct Judge<'a> {
    task: &'a Task<'a>,
    stock: &'a Stock,
    sold: &'a Shelf,
    least: f64,
}

impl Judge<'_> {
    fn alike(a: f64, b: f64) -> bool {
        (a / b - 1.0).abs() < 1e-9
    }

    /// What buying costs; infinite where something cannot be bought.
    fn bought(&self, chosen: &[f64]) -> f64 {
        let places = self.task.topology.places();
        let series = |k| {
            if self.task.topology.input_place() == Some(k) {
                self.task.series
            } else {
                0.0
            }
        };
        let all: Vec<(PlaceKind, f64)> = (0..chosen.len())
            .map(|k| (places[k].kind, chosen[k] - series(k)))
            .collect();
        let mut cost = 0.0;
        for (k, &(kind, value)) in all.iter().enumerate() {
            let same = |&&(other, v): &&(PlaceKind, f64)| other == kind && Self::alike(v, value);
            let before = all[..k].iter().filter(same).count();
            let piles = self
                .stock
                .piles(kind)
                .iter()
                .filter(|p| Self::alike(p.value, value));
            if before >= piles.map(|p| p.left).sum() {
                let sold = self.sold.all(kind).iter().any(|&v| Self::alike(v, value));
                cost += if sold { BOUGHT } else { f64::INFINITY };
            }
        }
        cost
    }

    fn look(&mut self, chosen: &mut Vec<f64>, awkward: f64, aim: &Aim) {
        let task = self.task;
        let topology = task.topology;
        let Some(place) = topology.places().get(chosen.len()) else {
            let error = aim.cost(&topology.reached(chosen));
            let cost = error.max(task.taste.indifference) + awkward + self.bought(chosen);
            self.least = self.least.min(cost);
            return;
        };
        let (mut moved, mut awkward) = (*aim, awkward);
        if chosen.len() == topology.capacitors() {
            let (section, gain) = (&task.aim.section, task.aim.gain);
            let drift = topology.drift(section, gain, chosen, task.amplifier);
            awkward += task.taste.of_drift(drift, section.q);
            moved = task.aim.against(drift);
        }
        let driven = topology.input_place() == Some(chosen.len());
        let series = if driven { task.series } else { 0.0 };
        let rule = place.rule.released(task.unequal);
        let values: Vec<f64> = match rule {
            Rule::Free => task.shelf.all(place.kind).to_vec(),
            Rule::Same(earlier) | Rule::Tied(earlier) => vec![chosen[earlier]],
            Rule::Near(_) => unreachable!("topologies with such places are left out"),
        };
        let (low, high) = place.design.range(TAU * task.aim.section.f0.0, chosen);
        for value in values {
            let total = value + series;
            let free = rule == Rule::Free;
            if free && !(low * (1.0 - 1e-12)..=high * (1.0 + 1e-12)).contains(&total) {
                continue;
            }
            let price = if free {
                task.taste.of(place.kind, value)
            } else {
                0.0
            };
            chosen.push(total);
            self.look(chosen, awkward + price, &moved);
            chosen.pop();
        }
    }
}

/// Exhaustive enumeration, seeds fixed, of every topology whose places are not bound to a round
/// value: beside random drawers the search finds the same least cost, buying included.
#[test]
fn the_search_is_exhaustive_beside_a_drawer() {
    let mut random = SplitMix::new(1_124);
    let bound = |t: &&Topology| !t.places().iter().any(|p| matches!(p.rule, Rule::Near(_)));
    let mut drawn_from = 0;
    for &topology in Topology::ALL.iter().filter(bound) {
        let mut served = 0;
        for number in 0..DRAWERS {
            let draw = drawn(&mut random, topology, number);
            let (stock, sold) = random_stock(&mut random, &draw.shelf);
            let shelf = sold.beside(&stock);
            let task = Task {
                shelf: &shelf,
                ..draw.task()
            };
            let mut judge = Judge {
                task: &task,
                stock: &stock,
                sold: &sold,
                least: f64::INFINITY,
            };
            judge.look(&mut Vec::new(), 0.0, &task.aim);
            let what = format!("{} {number}", topology.name());
            match search(&task) {
                Some(found) => {
                    assert!(
                        (found.cost - judge.least).abs() < 1e-12,
                        "{what}: {} {}",
                        found.cost,
                        judge.least
                    );
                    served += 1;
                    let kinds = topology.places().iter().map(|p| p.kind);
                    let taken = kinds
                        .zip(&found.values)
                        .filter(|&(kind, v)| shelf.left(kind, *v) > 0);
                    drawn_from += taken.count();
                }
                None => assert!(judge.least > task.most, "{what} {}", judge.least),
            }
        }
        assert!(served >= DRAWERS / 2, "{}: {served}", topology.name());
    }
    assert!(drawn_from > 100, "{drawn_from}");
}

/// What is fit, near enough and inside the range is taken up, and nothing else.
#[test]
fn a_stock_leaves_out_what_does_not_serve() {
    let stock = stock(
        "resistor,1k,10 %,,5,,\nresistor,2k,5 %,,5,,\nresistor,3k,,,5,,\nresistor,4k7,1 %,,0,,\n\
         resistor,5k6,10 %,,1,5.61k,\ncapacitor,10n,5 %,X7R,3,,\ncapacitor,22n,5 %,,3,,\n\
         capacitor,33n,5 %,film,3,,\ncapacitor,47n,20 %,polypropylene,1,45.1n,A\npot,10k,,,3,,\n",
    );
    let values = |kind| -> Vec<f64> { stock.piles(kind).iter().map(|p| p.value).collect() };
    assert_eq!(values(PlaceKind::Resistor), [2e3, 3e3, 5.61e3]);
    assert_eq!(values(PlaceKind::Capacitor), [33e-9, 45.1e-9]);
    assert!(stock.has_measured_capacitors());
    let by_print = stock.by_print();
    let printed: Vec<f64> = by_print
        .piles(PlaceKind::Capacitor)
        .iter()
        .map(|p| p.value)
        .collect();
    assert_eq!(printed, [33e-9, 47e-9]);
}

/// Invariant: of a dealer's stock no more is looked at than a plan can bear, from end to end.
#[test]
fn a_large_stock_is_thinned() {
    let rows: String = (0..5000)
        .map(|k| format!("capacitor,10n,5 %,film,1,{}p,\n", 9500 + k / 5))
        .collect();
    let stock = stock(&rows);
    let piles = stock.piles(PlaceKind::Capacitor);
    assert_eq!(piles.len() + stock.passed_over, 5000);
    assert!(piles.len() == 32, "{}", piles.len());
    assert!(piles[0].value < 9.54e-9 && piles[31].value > 10.46e-9);
}

/// A shelf counts its pieces.
#[test]
fn pieces_are_used_up() {
    let kind = PlaceKind::Resistor;
    let shelf = Shelf::new(vec![1e3, 1.5e3], vec![1e-9])
        .beside(&stock("resistor,1k,,,2,,\nresistor,1.2k,,,1,,\n"));
    let price = |shelf: &Shelf, value, used| shelf.price(kind, value, used);
    assert_eq!(price(&shelf, 1e3, 1), Some(0.0));
    assert_eq!(price(&shelf, 1e3, 2), Some(BOUGHT));
    assert_eq!(price(&shelf, 1.5e3, 0), Some(BOUGHT));
    assert_eq!(price(&shelf, 1.2e3, 0), Some(0.0));
    assert_eq!(price(&shelf, 1.2e3, 1), None);
    let less = shelf.without(kind, [1e3, 1.2e3, 1.5e3]);
    assert_eq!((less.left(kind, 1e3), less.left(kind, 1.2e3)), (1, 0));
    assert_eq!(less.to_be_had(kind), [1e3, 1.5e3]);
    assert_eq!(
        less.about(kind, 1.6e3, |_| 0),
        Some(1e3),
        "what lies there first"
    );
    assert_eq!(less.about(kind, 1.6e3, |_| 1), Some(1.5e3));
}
