//! Planning from a drawer. Order of trust: invariants of counting, on the shipped example.

use circuit::{Circuit, Element, Part};
use filter::values::METER;
use parts::{Dielectric, Drawer, DrawerItem, DrawerPart};
use std::collections::HashMap;
use units::{Quantity, Ratio};
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

/// The row that a part is said to come from, and the part in the circuit; op-amps are left out.
fn pieces<'a>(
    circuit: &'a Circuit,
    design: &'a Design,
    drawer: &'a Drawer,
) -> Vec<(&'a Part, &'a DrawerPart)> {
    let here = design.from_drawer.iter().flatten();
    here.filter_map(|piece| {
        let part = circuit
            .parts
            .iter()
            .find(|p| p.reference == piece.reference)?;
        let row = drawer.parts.iter().find(|row| row.line == piece.line);
        Some((part, row.unwrap_or_else(|| panic!("{piece:?}"))))
    })
    .collect()
}

fn made_of(part: &Part) -> Option<Dielectric> {
    match part.element {
        Element::Capacitor { dielectric, .. } => Some(dielectric),
        _ => None,
    }
}

/// What is soldered is what the circuit says: dielectric and tolerance are those of the row, of a
/// measured piece the tolerance that a plain meter leaves.
#[test]
fn a_part_from_the_drawer_is_the_piece_that_lies_there() {
    let drawer = Drawer::read("drawer.csv", DRAWER).unwrap_or_else(|c| panic!("{c}"));
    let outcome = planned(NEED, DRAWER);
    let mut seen: HashMap<&'static str, usize> = HashMap::new();
    for design in &outcome.designs {
        let circuit = circuit(design);
        for (part, row) in pieces(&circuit, design, &drawer) {
            assert_eq!(made_of(part), row.item.dielectric(), "{part:?}");
            let tolerance = match row.item.measured() {
                Some(_) => Some(METER),
                None => row.tolerance,
            };
            assert_eq!(part.tolerance, tolerance, "{part:?}");
            if let Some(dielectric) = made_of(part) {
                *seen.entry(dielectric.word()).or_default() += 1;
            }
        }
        let bought = design.buy.iter().flatten();
        for reference in bought.filter(|b| b.value_f.is_some()).flat_map(|b| &b.refs) {
            let part = circuit.parts.iter().find(|p| p.reference == *reference);
            let part = part.unwrap_or_else(|| panic!("{reference}"));
            if sets_frequency(part) {
                assert_eq!(made_of(part), Some(Dielectric::Film), "{part:?}");
            }
        }
    }
    for word in ["polyester", "c0g", "x7r", "electrolytic"] {
        assert!(seen.contains_key(word), "no {word} in {seen:?}");
    }
}

/// Closer and looser pieces than the plan asked for stand in the circuit as they are; where a row
/// states no tolerance, what the plan reckoned with stays.
#[test]
fn a_tolerance_is_that_of_the_row_where_it_states_one() {
    let rows = DRAWER
        .replace("capacitor,1n,5 %,C0G", "capacitor,1n,2 %,C0G")
        .replace("resistor,100k,1 %", "resistor,100k,5 %")
        .replace("resistor,22k,1 %", "resistor,22k,");
    let drawer = Drawer::read("drawer.csv", &rows).unwrap_or_else(|c| panic!("{c}"));
    let outcome = planned(NEED, &rows);
    let mut seen = [0; 3];
    for design in &outcome.designs {
        let circuit = circuit(design);
        for (part, row) in pieces(&circuit, design, &drawer) {
            let (which, tolerance) = match (&row.item, row.item.printed()) {
                (DrawerItem::Capacitor { .. }, Some(1e-9)) => (0, 0.02),
                (DrawerItem::Resistor { .. }, Some(100e3)) => (1, 0.05),
                (DrawerItem::Resistor { .. }, Some(22e3)) => (2, 0.01),
                _ => continue,
            };
            assert_eq!(part.tolerance, Some(Ratio(tolerance)), "{part:?}");
            assert!(which != 1 || !sets_frequency(part), "{part:?}");
            seen[which] += 1;
        }
    }
    assert!(seen.iter().all(|&n| n > 0), "{seen:?}");
}

/// Whether a part stands in a stage of the filter: those are numbered, all else has names.
fn sets_frequency(part: &Part) -> bool {
    let stage = part.stage.as_deref();
    stage.is_some_and(|s| s.parse::<usize>().is_ok())
}

/// A dielectric that loses its value stays in the drawer where a frequency is set, measured or
/// not and however well its value would do: what is soldered there is bought, of the kind asked for.
#[test]
fn an_unfit_dielectric_sets_no_frequency() {
    let rows = ["polyester", "film", "C0G"]
        .iter()
        .fold(DRAWER.to_owned(), |rows, word| {
            rows.replace(&format!(",{word},"), ",X7R,")
        });
    let drawer = Drawer::read("drawer.csv", &rows).unwrap_or_else(|c| panic!("{c}"));
    let outcome = planned(NEED, &rows);
    let mut decoupling = 0;
    for design in &outcome.designs {
        let circuit = circuit(design);
        for (part, row) in pieces(&circuit, design, &drawer) {
            if row.item.dielectric() == Some(Dielectric::X7r) {
                assert!(!sets_frequency(part), "{part:?}");
                decoupling += 1;
            }
        }
        for part in circuit.parts.iter().filter(|p| sets_frequency(p)) {
            let fit = made_of(part).is_none_or(|d| d == Dielectric::Film);
            assert!(fit, "{part:?}");
        }
        let findings = &design.check.findings;
        assert!(findings.iter().all(|f| f.id != "unsuitable_dielectric"));
    }
    assert!(decoupling > 0, "they serve beside the filter");
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
