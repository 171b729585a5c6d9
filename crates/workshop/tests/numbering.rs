//! Numbers of the parts of planned designs, on the drawn schematic.
//!
//! Published rules: class letters, numbering and suffixes of IEEE 315-1975 section 22 as
//! continued by ASME Y14.44-2008 (2.1.3) [Y14-44], read in a public page.

use circuit::Circuit;
use sheet::{Extent, Layer, Point, Schematic, SchematicStyle, Shape, schematic};
use std::collections::BTreeMap;
use workshop::plan::{PlanRequest, plan};

const NEED: &str = include_str!("../../../examples/attic/need.toml");

/// The shipped need, and two of it with other wishes, which bring the other topologies.
fn needs() -> [String; 3] {
    let changed = |changes: &[(&str, &str)]| {
        changes.iter().fold(NEED.to_owned(), |text, (from, to)| {
            assert!(text.contains(from), "{from}");
            text.replace(from, to)
        })
    };
    [
        NEED.to_owned(),
        changed(&[
            ("most = 4", "most = 2"),
            ("\"30 dB\"", "\"18 dB\""),
            ("\"24 dB\"", "\"14 dB\""),
            ("TL072", "LM358"),
        ]),
        changed(&[
            ("\"180 Hz\"", "\"150 Hz\""),
            ("\"30 dB\"", "\"50 dB\""),
            ("\"12 ms\"", "\"40 ms\""),
        ]),
    ]
}

/// Every design planned from these needs, drawn.
fn planned() -> Vec<(String, Circuit, Schematic)> {
    let plans = needs().map(|text| {
        let name = "need.toml".to_owned();
        plan(&PlanRequest {
            name,
            text,
            drawer: None,
        })
        .expect("the need is planned")
    });
    let designs = plans.iter().flat_map(|plan| &plan.designs);
    designs
        .map(|design| {
            let circuit = circuit::read("planned", &design.circuit_toml).expect("a circuit");
            let drawn = schematic(&circuit, &SchematicStyle::default());
            let name = format!("{}, {}", design.family, design.topology);
            (name, circuit, drawn)
        })
        .collect()
}

/// Class letters and number of a reference, without the suffix of its unit.
fn split(reference: &str) -> (&str, usize) {
    let rest = reference.trim_start_matches(|c: char| c.is_ascii_uppercase());
    let class = &reference[..reference.len() - rest.len()];
    let number = rest.trim_end_matches(|c: char| c.is_ascii_uppercase());
    (class, number.parse().expect("a number"))
}

/// The rows of a drawing: stretches of its height with something in them.
fn rows(drawn: &Schematic) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = drawn
        .drawing
        .marks
        .iter()
        .map(|m| m.shape.extent())
        .map(|e: Extent| (e.top, e.bottom))
        .collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut rows: Vec<(f64, f64)> = Vec::new();
    for (top, bottom) in spans {
        match rows.last_mut() {
            Some(row) if top <= row.1 => row.1 = row.1.max(bottom),
            _ => rows.push((top, bottom)),
        }
    }
    rows
}

/// Where a part begins: its left pin, and from there along its wire to the left as far as
/// the next junction or corner.
fn start(drawn: &Schematic, part: usize) -> Point {
    let pins = drawn.pins.iter().filter(|p| p.part == part && p.pin < 3);
    let pin = pins
        .map(|p| p.at)
        .min_by(|a, b| (a.x, a.y).partial_cmp(&(b.x, b.y)).expect("finite"))
        .expect("every part has pins");
    let near = |a: f64, b: f64| (a - b).abs() < 1e-3;
    let wire = drawn.drawing.marks.iter().find_map(|m| match m.shape {
        Shape::Line { from, to, .. } if m.layer == Layer::Wire => {
            let (left, right) = (from.x.min(to.x), from.x.max(to.x));
            let level = near(from.y, pin.y) && near(to.y, pin.y);
            (level && left < pin.x - 1e-3 && pin.x <= right + 1e-3).then_some(left)
        }
        _ => None,
    });
    let Some(left) = wire else { return pin };
    let dots = drawn.drawing.marks.iter().filter_map(|m| match m.shape {
        Shape::Circle { centre, .. } if m.layer == Layer::Junction => Some(centre),
        _ => None,
    });
    let x = dots
        .filter(|d| near(d.y, pin.y) && d.x > left && d.x < pin.x - 1e-3)
        .map(|d| d.x)
        .fold(left, f64::max);
    Point::new(x, pin.y)
}

/// Whether a part stands upright, all its pins in one column.
fn upright(drawn: &Schematic, part: usize) -> bool {
    let pins = drawn.pins.iter().filter(|p| p.part == part && p.pin < 3);
    let xs: Vec<f64> = pins.map(|p| p.at.x).collect();
    xs.iter().all(|x| (x - xs[0]).abs() < 1e-3)
}

/// Number of a part, where it begins, and whether it stands upright there.
type Place = (usize, Point, bool);

/// The places of a class in the order of their numbers, each number once.
fn places(circuit: &Circuit, drawn: &Schematic) -> BTreeMap<String, Vec<Place>> {
    let mut classes: BTreeMap<String, Vec<Place>> = BTreeMap::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        let (class, number) = split(&part.reference);
        let list = classes.entry(class.to_owned()).or_default();
        list.push((number, start(drawn, index), upright(drawn, index)));
    }
    for list in classes.values_mut() {
        list.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.y.total_cmp(&b.1.y)));
    }
    classes
}

/// Numbers run from 1 without a gap, from the top row down and from left to right within a
/// row; of parts that begin in one column those that stand in it first, then from the top.
/// (The amplifiers of one package share
/// a number, and only the first is held to its place.)
#[test]
fn numbers_run_from_the_upper_left() {
    /// Places this near are one column, mm.
    const COLUMN: f64 = 1.0;
    let mut bad = Vec::new();
    for (name, circuit, drawn) in planned() {
        let rows = rows(&drawn);
        let row = |p: Point| rows.iter().position(|r| p.y <= r.1).unwrap_or(rows.len());
        for (class, mut list) in places(&circuit, &drawn) {
            list.dedup_by_key(|place| place.0);
            let numbers: Vec<usize> = list.iter().map(|place| place.0).collect();
            let wanted: Vec<usize> = (1..=list.len()).collect();
            assert_eq!(numbers, wanted, "{name}: {class}");
            for pair in list.windows(2) {
                let ((n, a, stands), (m, b, also)) = (pair[0], pair[1]);
                let after = match row(b).cmp(&row(a)) {
                    std::cmp::Ordering::Equal if (a.x - b.x).abs() <= COLUMN => {
                        (stands && !also) || (stands == also && b.y >= a.y)
                    }
                    std::cmp::Ordering::Equal => b.x > a.x,
                    order => order.is_gt(),
                };
                if !after {
                    bad.push(format!(
                        "{name}: {class}{m} at {b:?} before {class}{n} at {a:?}"
                    ));
                }
            }
        }
    }
    assert!(bad.is_empty(), "{bad:#?}");
}
