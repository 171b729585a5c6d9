//! From a circuit to its schematic: rows within the width, then the supply group.

use circuit::{Circuit, Element, NodeId};

use super::attach::{Joints, attach};
use super::canvas::{Canvas, PlacedLabel, PlacedPin};
use super::pen::Pen;
use super::plan::{Hang, Plan};
use super::reading::Reading;
use super::spine::{self, Segment};
use super::{Symbols, captions, loose, row, rows, sides, supply};
use crate::{Drawing, Point};

/// How a schematic is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct SchematicStyle {
    /// The family of symbols.
    pub symbols: Symbols,
    /// Places to mark: a node and the name to mark it with. Rails carry their own names
    /// and are not marked.
    pub test_points: Vec<(NodeId, String)>,
    /// Width to stay within where the circuit allows it, mm.
    pub width: f64,
}

impl Default for SchematicStyle {
    /// IEC 60617 symbols on the 180 mm between the margins of an A4 page.
    fn default() -> Self {
        SchematicStyle {
            symbols: Symbols::Iec60617,
            test_points: Vec::new(),
            width: 180.0,
        }
    }
}

/// A schematic: the picture, and where its pins and labels lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Schematic {
    /// The picture.
    pub drawing: Drawing,
    /// Every pin of every part. The supply pins of a package are placed once, for the
    /// first of its amplifiers.
    pub pins: Vec<PlacedPin>,
    /// Every place where a net carries its name or symbol.
    pub labels: Vec<PlacedLabel>,
    /// Captions that found no free place: 0 unless the circuit is extremely crowded.
    pub crowded: usize,
}

impl Schematic {
    /// The same schematic at another scale.
    fn scaled(mut self, scale: f64) -> Self {
        self.drawing.scale(scale);
        for pin in &mut self.pins {
            pin.at = Point::new(pin.at.x * scale, pin.at.y * scale);
        }
        for label in &mut self.labels {
            label.at = Point::new(label.at.x * scale, label.at.y * scale);
        }
        self
    }
}

/// Draws the schematic of a circuit.
#[must_use]
pub fn schematic(circuit: &Circuit, style: &SchematicStyle) -> Schematic {
    let reading = Reading::of(circuit);
    let pen = Pen {
        reading: &reading,
        symbols: style.symbols,
        test_points: &style.test_points,
    };
    let canvas = untangled(&pen, style.width)
        .or_else(|| rows_of(&pen, &[], Joints::Names, style.width))
        .unwrap_or_else(|| apart(&pen, style.width));
    let drawn = finish(circuit, canvas);
    let widest = drawn.drawing.width;
    if widest > style.width && widest <= SHRINK * style.width + 1e-9 {
        drawn.scaled(style.width / widest)
    } else {
        drawn
    }
}

/// Most amplifiers for which the other input is tried on the spine.
const MOST_TURNED: usize = 16;

/// Rows joined by wires, with amplifiers turned one by one wherever that spares a crossing.
fn untangled(pen: &Pen<'_>, width: f64) -> Option<Canvas> {
    let mut turned: Vec<usize> = Vec::new();
    let mut best = rows_of(pen, &turned, Joints::Wires, width)?;
    for &part in pen.reading.amplifiers.iter().take(MOST_TURNED) {
        let crossings = best.crossings();
        if crossings == 0 {
            break;
        }
        turned.push(part);
        match rows_of(pen, &turned, Joints::Wires, width) {
            Some(trial) if trial.crossings() < crossings => best = trial,
            _ => {
                turned.pop();
            }
        }
    }
    Some(best)
}

/// The rows with some amplifiers turned, if they show the circuit rightly.
fn rows_of(pen: &Pen<'_>, turned: &[usize], joints: Joints, width: f64) -> Option<Canvas> {
    let chain = spine::chain(pen.reading, turned);
    let mut canvas = wrapped(pen, &chain, joints, width);
    canvas.tidy();
    let right = canvas.sound() && canvas.whole() && complete(pen.reading.circuit, &canvas);
    right.then_some(canvas)
}

/// Whether every signal pin of every part is on the canvas, once.
fn complete(circuit: &Circuit, canvas: &Canvas) -> bool {
    circuit.parts.iter().enumerate().all(|(part, p)| {
        let pins = match &p.element {
            Element::Opamp(_) => 3,
            other => other.nodes().len(),
        };
        (0..pins).all(|pin| {
            let here = canvas
                .pins
                .iter()
                .filter(|(q, _)| q.part == part && q.pin == pin);
            here.count() == 1
        })
    })
}

/// The last resort, for a netlist no row can hold: every part alone, its ends named.
fn apart(pen: &Pen<'_>, width: f64) -> Canvas {
    let mut canvas = Canvas::default();
    let mut y = 0.0;
    let all: Vec<usize> = (0..pen.reading.circuit.parts.len()).collect();
    let groups = [
        supply::power(pen, width),
        loose::draw(pen, &all, width - 2.0 * MARGIN),
    ];
    for group in groups.into_iter().flatten() {
        stack(&mut canvas, group, &mut y);
    }
    canvas.tidy();
    canvas
}

/// Margin around the picture, mm.
const MARGIN: f64 = 2.5;
/// Distance between rows, mm.
const BETWEEN: f64 = 6.0;

/// How much wider than asked a drawing may be: it is then drawn a little smaller.
const SHRINK: f64 = 1.12;

/// Rows that keep within the width, cut between loops of amplifiers where possible.
fn wrapped(pen: &Pen<'_>, chain: &[Segment], joints: Joints, width: f64) -> Canvas {
    let mut cuts = vec![false; chain.len()];
    loop {
        let (canvas, wide) = stacked(pen, chain, &cuts, (joints, width));
        let Some(row) = wide.first().copied() else {
            return canvas;
        };
        let places = cut_places(chain, &cuts, row);
        let fits = |&&cut: &&usize| {
            let mut trial = cuts.clone();
            trial[cut] = true;
            let (_, wide) = stacked(pen, chain, &trial, (joints, width));
            !wide.contains(&row)
        };
        match places.iter().find(fits).or(places.last()) {
            Some(&cut) => cuts[cut] = true,
            None => match wide
                .into_iter()
                .find(|&r| !cut_places(chain, &cuts, r).is_empty())
            {
                Some(other) => {
                    let cut = cut_places(chain, &cuts, other)[0];
                    cuts[cut] = true;
                }
                None => return canvas,
            },
        }
    }
}

/// Segments at which a row may be cut, best first: between loops from the right, then
/// inside loops from the right, then before what leads to the output.
fn cut_places(chain: &[Segment], cuts: &[bool], row: usize) -> Vec<usize> {
    let firsts: Vec<usize> = (0..chain.len()).filter(|&i| i == 0 || cuts[i]).collect();
    let Some(&first) = firsts.get(row) else {
        return Vec::new();
    };
    let end = firsts.get(row + 1).copied().unwrap_or(chain.len());
    let (driven, last): (Vec<usize>, Vec<usize>) = (first + 1..end)
        .rev()
        .filter(|&i| chain[i].amplifier.is_some() || !chain[i].path.is_empty())
        .partition(|&i| chain[i].amplifier.is_some());
    let (mut places, inside): (Vec<usize>, Vec<usize>) = driven
        .into_iter()
        .partition(|&i| chain[i].ring != chain[i - 1].ring);
    places.extend(inside);
    places.extend(last);
    places
}

/// All rows under each other and the supply group below; also the rows too wide.
fn stacked(
    pen: &Pen<'_>,
    chain: &[Segment],
    cuts: &[bool],
    (joints, width): (Joints, f64),
) -> (Canvas, Vec<usize>) {
    let mut plan = rows::rows(pen.reading, chain, cuts);
    attach(pen.reading, &mut plan, joints);
    mark(pen, &mut plan);
    sides::choose(&mut plan);
    let mut canvas = Canvas::default();
    let mut y = 0.0;
    let mut wide = Vec::new();
    for number in 0..plan.rows.len() {
        let drawn = row::draw(pen, &mut plan, number);
        let room = drawn.extent().map_or(0.0, |e| e.width());
        if room + 2.0 * MARGIN > SHRINK * width {
            wide.push(number);
        }
        stack(&mut canvas, drawn, &mut y);
    }
    let groups = [
        supply::draw(pen, SHRINK * width - 2.0 * MARGIN),
        loose::draw(pen, &plan.loose, width - 2.0 * MARGIN),
    ];
    for group in groups.into_iter().flatten() {
        y += BETWEEN;
        stack(&mut canvas, group, &mut y);
    }
    (canvas, wide)
}

/// Hangs the names of the test points.
fn mark(pen: &Pen<'_>, plan: &mut Plan) {
    for (node, name) in pen.test_points {
        if let Some(station) = plan.main(node.0).filter(|_| !pen.reading.is_rail(node.0)) {
            plan.stations[station]
                .hangs
                .push(Hang::Terminal(name.clone()));
        }
    }
}

/// Puts a canvas below what is already there, its left edge at 0.
fn stack(canvas: &mut Canvas, mut below: Canvas, y: &mut f64) {
    below.tidy();
    if let Some(extent) = below.extent() {
        let dy = ((*y - extent.top) / 2.5).ceil() * 2.5;
        let dx = (-extent.left / 2.5).ceil() * 2.5;
        *y = dy + extent.bottom + BETWEEN;
        canvas.take(below, dx, dy);
    }
}

fn finish(circuit: &Circuit, canvas: Canvas) -> Schematic {
    let title = format!("Schematic: {}", circuit.title);
    let mut drawing = Drawing::new(title, 0.0, 0.0);
    drawing.description = format!(
        "{} parts; input at the left, output at the right.",
        circuit.parts.len()
    );
    let crowded = captions::place(&canvas, &mut drawing);
    let mut pins: Vec<PlacedPin> = canvas.pins.iter().map(|(p, _)| *p).collect();
    let mut labels: Vec<PlacedLabel> = canvas.labels.iter().map(|(l, _)| l.clone()).collect();
    canvas.into_drawing(&mut drawing);
    let before = drawing.extent();
    drawing.fit(MARGIN);
    if let Some(extent) = before {
        let (dx, dy) = (MARGIN - extent.left, MARGIN - extent.top);
        for pin in &mut pins {
            pin.at = pin.at.moved(dx, dy);
        }
        for label in &mut labels {
            label.at = label.at.moved(dx, dy);
        }
    }
    Schematic {
        drawing,
        pins,
        labels,
        crowded,
    }
}
