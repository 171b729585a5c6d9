//! Reads a schematic back from its marks: which pins are joined.

use std::collections::{BTreeMap, BTreeSet};

use circuit::{Circuit, Element};
use sheet::{Extent, Layer, Point, Schematic, Shape, Text};

type Pin = (String, usize);
/// Nets as sets of pins; each set sorted, and the list of sets sorted.
type Nets = BTreeSet<BTreeSet<Pin>>;

fn key(p: Point) -> (i64, i64) {
    ((p.x * 1000.0).round() as i64, (p.y * 1000.0).round() as i64)
}

fn wires(drawn: &Schematic) -> Vec<(Point, Point)> {
    drawn
        .drawing
        .marks
        .iter()
        .filter(|m| m.layer == Layer::Wire)
        .filter_map(|m| match m.shape {
            Shape::Line { from, to, .. } => Some((from, to)),
            _ => None,
        })
        .collect()
}

fn dots(drawn: &Schematic) -> BTreeSet<(i64, i64)> {
    drawn
        .drawing
        .marks
        .iter()
        .filter(|m| m.layer == Layer::Junction)
        .filter_map(|m| match m.shape {
            Shape::Circle { centre, .. } => Some(key(centre)),
            _ => None,
        })
        .collect()
}

fn on(wire: &(Point, Point), p: Point) -> bool {
    let e = Extent::spanning(wire.0, wire.1).grown(2e-3);
    p.x > e.left && p.x < e.right && p.y > e.top && p.y < e.bottom
}

fn ends(wire: &(Point, Point), p: Point) -> bool {
    key(wire.0) == key(p) || key(wire.1) == key(p)
}

/// Pins that only stand for themselves: supply pins of later amplifiers of a package.
fn shown(circuit: &Circuit, part: usize, pin: usize) -> bool {
    let element = &circuit.parts[part].element;
    !matches!(element, Element::Opamp(_)) || pin < 3
}

/// The nets of the netlist; supply pins are judged apart, by package.
pub(crate) fn expected(circuit: &Circuit) -> Nets {
    let mut nets: BTreeMap<usize, BTreeSet<Pin>> = BTreeMap::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        for (pin, node) in part.element.nodes().iter().enumerate() {
            if shown(circuit, index, pin) {
                nets.entry(node.0)
                    .or_default()
                    .insert((part.reference.clone(), pin));
            }
        }
        if let Element::Opamp(amp) = &part.element {
            let package = part.reference.trim_end_matches(['A', 'B', 'C', 'D']);
            for (pin, rail) in amp.rails.iter().enumerate() {
                nets.entry(rail.0)
                    .or_default()
                    .insert((package.to_owned(), 3 + pin));
            }
        }
    }
    nets.into_values().collect()
}

/// The nets on the paper: ends that meet, dots, and labels of one name.
pub(crate) fn nets(circuit: &Circuit, drawn: &Schematic) -> Nets {
    let wires = wires(drawn);
    let dots = dots(drawn);
    let mut group: Vec<usize> = (0..wires.len() + drawn.pins.len() + drawn.labels.len()).collect();
    let places: Vec<Point> = drawn
        .pins
        .iter()
        .map(|p| p.at)
        .chain(drawn.labels.iter().map(|l| l.at))
        .collect();
    let joined = |p: Point, a: &(Point, Point), b: &(Point, Point)| {
        on(a, p) && on(b, p) && (dots.contains(&key(p)) || (ends(a, p) && ends(b, p)))
    };
    for i in 0..wires.len() {
        for j in 0..i {
            let corners = [wires[i].0, wires[i].1, wires[j].0, wires[j].1];
            if corners.iter().any(|&p| joined(p, &wires[i], &wires[j])) {
                merge(&mut group, i, j);
            }
        }
    }
    for (i, &place) in places.iter().enumerate() {
        let this = wires.len() + i;
        for (j, wire) in wires.iter().enumerate() {
            if on(wire, place) && (ends(wire, place) || dots.contains(&key(place))) {
                merge(&mut group, this, j);
            }
        }
        for (j, other) in places[..i].iter().enumerate() {
            if key(*other) == key(place) {
                merge(&mut group, this, wires.len() + j);
            }
        }
    }
    let first_label = wires.len() + drawn.pins.len();
    for (i, a) in drawn.labels.iter().enumerate() {
        for (j, b) in drawn.labels[..i].iter().enumerate() {
            if a.name == b.name {
                merge(&mut group, first_label + i, first_label + j);
            }
        }
    }
    let mut nets: BTreeMap<usize, BTreeSet<Pin>> = BTreeMap::new();
    for (i, pin) in drawn.pins.iter().enumerate() {
        let part = &circuit.parts[pin.part];
        let opamp = matches!(part.element, Element::Opamp(_));
        let name = if opamp && pin.pin > 2 {
            part.reference.trim_end_matches(['A', 'B', 'C', 'D'])
        } else {
            part.reference.as_str()
        };
        nets.entry(group[wires.len() + i])
            .or_default()
            .insert((name.to_owned(), pin.pin));
    }
    nets.into_values().collect()
}

fn merge(group: &mut [usize], a: usize, b: usize) {
    let (from, to) = (group[a], group[b]);
    for g in group.iter_mut() {
        if *g == from {
            *g = to;
        }
    }
}

/// How many wires and pins meet at each end of a wire and each pin.
fn arms(drawn: &Schematic) -> BTreeMap<(i64, i64), usize> {
    let wires = wires(drawn);
    wires
        .iter()
        .flat_map(|w| [w.0, w.1])
        .chain(drawn.pins.iter().map(|p| p.at))
        .map(|p| {
            let arms: usize = wires
                .iter()
                .filter(|w| on(w, p))
                .map(|w| if ends(w, p) { 1 } else { 2 })
                .sum();
            let pins = drawn.pins.iter().filter(|q| key(q.at) == key(p)).count();
            (key(p), arms + pins)
        })
        .collect()
}

/// The greatest number of wires and pins that meet in one point.
pub(crate) fn most_arms(drawn: &Schematic) -> usize {
    arms(drawn).into_values().max().unwrap_or(0)
}

/// Places, in µm, where three arms meet without a dot, and dots where fewer meet.
pub(crate) fn wrong_dots(drawn: &Schematic) -> BTreeSet<(i64, i64)> {
    let arms = arms(drawn);
    let joints = arms.iter().filter(|(_, n)| **n > 2).map(|(at, _)| *at);
    let joints: BTreeSet<(i64, i64)> = joints.collect();
    joints.symmetric_difference(&dots(drawn)).copied().collect()
}

/// How many pairs of wires cross without touching.
pub(crate) fn crossings(drawn: &Schematic) -> usize {
    let wires = wires(drawn);
    let mut count = 0;
    for (i, a) in wires.iter().enumerate() {
        for b in &wires[..i] {
            let (ea, eb) = (Extent::spanning(a.0, a.1), Extent::spanning(b.0, b.1));
            let cross = |h: &Extent, v: &Extent| {
                h.height() < 1e-6
                    && v.width() < 1e-6
                    && h.left < v.left - 1e-3
                    && v.left < h.right - 1e-3
                    && v.top < h.top - 1e-3
                    && h.top < v.bottom - 1e-3
            };
            count += usize::from(cross(&ea, &eb) || cross(&eb, &ea));
        }
    }
    count
}

/// Pairs of words, and words over lines, that overlap.
pub(crate) fn clashes(drawn: &Schematic) -> Vec<String> {
    let texts: Vec<&Text> = drawn
        .drawing
        .marks
        .iter()
        .filter_map(|m| match &m.shape {
            Shape::Text(t) => Some(t),
            _ => None,
        })
        .collect();
    let mut found = Vec::new();
    for (i, a) in texts.iter().enumerate() {
        for b in &texts[..i] {
            if a.extent().overlaps(&b.extent()) {
                found.push(format!("{} over {}", a.words, b.words));
            }
        }
        for mark in &drawn.drawing.marks {
            for (from, to) in strokes(&mark.shape) {
                if crosses(from, to, &a.extent()) {
                    found.push(format!("{} over a line of {:?}", a.words, mark.layer));
                }
            }
        }
    }
    found
}

/// Strokes of labels and bodies that run along or over a wire anywhere but at a pin or label.
pub(crate) fn collisions(drawn: &Schematic) -> Vec<String> {
    let wires = wires(drawn);
    let places: Vec<Point> = drawn
        .pins
        .iter()
        .map(|p| p.at)
        .chain(drawn.labels.iter().map(|l| l.at))
        .collect();
    let mut found = Vec::new();
    for mark in &drawn.drawing.marks {
        if !matches!(mark.layer, Layer::Label | Layer::Symbol) {
            continue;
        }
        for (from, to) in strokes(&mark.shape) {
            let length = (to.x - from.x).hypot(to.y - from.y);
            let steps = (length / 0.1).ceil().max(1.0) as usize;
            for i in 0..=steps {
                let t = i as f64 / steps as f64;
                let p = from.moved(t * (to.x - from.x), t * (to.y - from.y));
                let near = |q: &Point| (q.x - p.x).hypot(q.y - p.y) < 0.3;
                if wires.iter().any(|w| on(w, p)) && !places.iter().any(near) {
                    found.push(format!("{:?} over a wire at {p:?}", mark.layer));
                    break;
                }
            }
        }
    }
    found
}

/// The straight strokes of a shape; a circle counts as its two diameters.
fn strokes(shape: &Shape) -> Vec<(Point, Point)> {
    match shape {
        Shape::Line { from, to, .. } => vec![(*from, *to)],
        Shape::Path { points, closed, .. } => {
            let mut list: Vec<_> = points.windows(2).map(|p| (p[0], p[1])).collect();
            if let (true, Some(&a), Some(&b)) = (*closed, points.last(), points.first()) {
                list.push((a, b));
            }
            list
        }
        Shape::Arc { centre, radius, .. } | Shape::Circle { centre, radius, .. } => vec![
            (centre.moved(-radius, 0.0), centre.moved(*radius, 0.0)),
            (centre.moved(0.0, -radius), centre.moved(0.0, *radius)),
        ],
        Shape::Text(_) => Vec::new(),
    }
}

/// Whether a stroke enters a rectangle, by walking along it.
fn crosses(from: Point, to: Point, e: &Extent) -> bool {
    let steps = ((to.x - from.x).hypot(to.y - from.y) / 0.1).ceil().max(1.0) as usize;
    (0..=steps).any(|i| {
        let t = i as f64 / steps as f64;
        let (x, y) = (from.x + t * (to.x - from.x), from.y + t * (to.y - from.y));
        x > e.left + 0.05 && x < e.right - 0.05 && y > e.top + 0.05 && y < e.bottom - 0.05
    })
}
