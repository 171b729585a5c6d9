//! Planning from a drawer. Order of trust: invariants of counting, on the shipped example.

use circuit::{Circuit, Element};
use parts::{Drawer, DrawerItem};
use std::collections::HashMap;
use units::Quantity;
use workshop::plan::{Design, DrawerFile, PlanOutcome, PlanRequest, drawer_named, plan};

const NEED: &str = include_str!("../../../examples/drawer/need.toml");
const DRAWER: &str = include_str!("../../../examples/drawer/drawer.csv");

fn planned(need: &str, drawer: &str) -> PlanOutcome {
    let request = PlanRequest {
        name: "need.toml".to_owned(),
        text: need.to_owned(),
        drawer: Some(DrawerFile {
            name: "drawer.csv".to_owned(),
            text: drawer.to_owned(),
        }),
    };
    plan(&request).unwrap_or_else(|why| panic!("{why}"))
}

fn circuit(design: &Design) -> Circuit {
    circuit::read("planned", &design.circuit_toml).unwrap_or_else(|c| panic!("{c}"))
}

/// Every part of a circuit, an op-amp by its package, with its value or type.
fn wanted(circuit: &Circuit) -> HashMap<String, Option<f64>> {
    let value = |element: &Element| match element {
        Element::Resistor { value, .. } => Some(value.si()),
        Element::Capacitor { value, .. } => Some(value.si()),
        _ => None,
    };
    let parts = circuit.parts.iter();
    parts
        .map(|p| (p.package().name.to_owned(), value(&p.element)))
        .collect()
}

/// Every part comes from one place; no row gives more than it holds; what is said to come from a
/// row has its value, the measured one where there is one.
#[test]
fn every_piece_is_given_away_once() {
    let drawer = Drawer::read("drawer.csv", DRAWER).unwrap_or_else(|c| panic!("{c}"));
    let outcome = planned(NEED, DRAWER);
    assert!(outcome.designs.len() > 3);
    let mut measured = 0;
    for design in &outcome.designs {
        let parts = wanted(&circuit(design));
        let (here, buy) = (design.from_drawer.as_ref(), design.buy.as_ref());
        let (here, buy) = (here.expect("a drawer"), buy.expect("a drawer"));
        let mut named: Vec<&String> = here.iter().map(|p| &p.reference).collect();
        named.extend(buy.iter().flat_map(|b| &b.refs));
        named.sort();
        let mut all: Vec<&String> = parts.keys().collect();
        all.sort();
        assert_eq!(named, all, "{}", design.rank);
        let mut given: HashMap<usize, usize> = HashMap::new();
        for piece in here {
            *given.entry(piece.line).or_default() += 1;
            let row = drawer.parts.iter().find(|p| p.line == piece.line);
            let row = row.expect("a row of that line");
            assert!(given[&piece.line] <= row.quantity, "line {}", piece.line);
            let acting = row.item.measured().or(row.item.printed());
            match (&row.item, parts[&piece.reference]) {
                (DrawerItem::Opamp { .. } | DrawerItem::Other { .. }, None) => {}
                (_, value) => {
                    let (value, acting) = (value.expect("a value"), acting.expect("a value"));
                    assert!((value / acting - 1.0).abs() < 1e-9, "{piece:?} {value}");
                }
            }
            measured += usize::from(piece.measured_f.is_some());
        }
        for bought in buy {
            assert_eq!(bought.quantity, bought.refs.len());
            let value = bought.value_ohm.or(bought.value_f);
            for reference in &bought.refs {
                assert_eq!(parts[reference].is_some(), value.is_some(), "{reference}");
            }
        }
    }
    assert!(measured > 3, "{measured} measured pieces used");
    let told = |d: &&Design| {
        d.notes
            .iter()
            .any(|n| n.contains("by their measured values"))
    };
    let with_pieces = |d: &&Design| {
        let mut pieces = d.from_drawer.iter().flatten();
        pieces.any(|p| p.measured_f.is_some())
    };
    for design in outcome.designs.iter().filter(with_pieces) {
        assert!(told(&design), "{:?}", design.notes);
    }
}

/// The file says which part is which piece, and which must be bought.
#[test]
fn the_circuit_says_where_its_parts_come_from() {
    let outcome = planned(NEED, DRAWER);
    for design in &outcome.designs {
        let circuit = circuit(design);
        let note = |reference: &str| {
            let part = circuit.parts.iter().find(|p| p.reference == reference);
            part.and_then(|p| p.note.clone()).unwrap_or_default()
        };
        for piece in design.from_drawer.iter().flatten() {
            if let Some(measured) = piece.measured_f {
                let words = note(&piece.reference);
                let said = format!("measured {:.5}", units::Farads(measured));
                assert!(words.contains(&said), "{words}");
                assert!(words.contains(&format!("line {}", piece.line)), "{words}");
            }
        }
        let bought = design.buy.iter().flatten().filter(|b| b.name.is_none());
        for reference in bought.flat_map(|b| &b.refs) {
            assert!(note(reference).contains("to buy"), "{reference}");
        }
        let said = design.notes.iter().any(|n| n.contains("drawer.csv"));
        assert!(said, "{:?}", design.notes);
    }
}

/// With everything at hand less is bought than with nothing, and with nothing all of it.
#[test]
fn an_empty_drawer_buys_everything_and_says_so() {
    let heading = "kind,value\n";
    let outcome = planned(NEED, heading);
    assert!(outcome.need.assumed.iter().any(|a| a.contains("is empty")));
    for design in &outcome.designs {
        assert_eq!(design.from_drawer.as_deref(), Some(&[][..]));
        let bought: usize = design.buy.iter().flatten().map(|b| b.quantity).sum();
        assert_eq!(bought, wanted(&circuit(design)).len());
    }
    let bare = NEED.replace("drawer = ", "# ");
    let without = PlanRequest {
        name: "need.toml".to_owned(),
        text: bare,
        drawer: None,
    };
    let without = plan(&without).unwrap_or_else(|why| panic!("{why}"));
    assert!(without.designs.iter().all(|d| d.buy.is_none()));
    let same = without.designs.iter().zip(&outcome.designs);
    for (a, b) in same {
        assert_eq!(a.family, b.family, "an empty drawer changes no value");
        let (a, b) = (circuit(a), circuit(b));
        assert_eq!(wanted(&a), wanted(&b));
    }
}

#[test]
fn a_need_names_its_drawer() {
    assert_eq!(
        drawer_named("need.toml", NEED).as_deref(),
        Some("drawer.csv")
    );
    assert_eq!(drawer_named("need.toml", "pitch = 1"), None);
    let request = PlanRequest {
        name: "need.toml".to_owned(),
        text: NEED.to_owned(),
        drawer: None,
    };
    let why = plan(&request)
        .map(|_| ())
        .expect_err("no drawer")
        .to_string();
    assert!(why.contains("drawer.csv"), "{why}");
}
