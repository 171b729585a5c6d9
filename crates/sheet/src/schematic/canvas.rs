//! The paper while a schematic is being laid out: wires that know their net.
//!
//! Everything lies on a grid of 2.5 mm. The canvas remembers for every wire and pin
//! which net it belongs to, puts a dot where three wires meet, and can say whether
//! two nets touch by mistake.

use crate::{Drawing, Extent, Ink, Layer, Mark, Point, Shape, Stroke, Text};

/// Width of wires and symbol outlines, mm.
pub(crate) const LINE: f64 = 0.28;
/// Radius of a junction dot, mm.
const DOT: f64 = 0.62;

/// A straight wire, horizontal or vertical.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wire {
    /// Its net.
    pub(crate) net: usize,
    /// One end.
    pub(crate) from: Point,
    /// The other end.
    pub(crate) to: Point,
}

impl Wire {
    /// Whether a place lies on the wire, ends included.
    pub(crate) fn holds(&self, p: Point) -> bool {
        let e = Extent::spanning(self.from, self.to).grown(1e-3);
        p.x >= e.left && p.x <= e.right && p.y >= e.top && p.y <= e.bottom
    }

    fn ends_at(&self, p: Point) -> bool {
        self.from.meets(p) || self.to.meets(p)
    }
}

/// A pin of a part, placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedPin {
    /// Index of the part in the circuit.
    pub part: usize,
    /// Pin number of the part, counted from 0 in the order of its nodes.
    pub pin: usize,
    /// Where its outer end lies.
    pub at: Point,
}

/// A place where a net carries its name or symbol.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLabel {
    /// Name of the net.
    pub name: String,
    /// Where the label touches its wire.
    pub at: Point,
}

/// Words that still look for a free place: each candidate is a set of texts.
#[derive(Debug, Clone)]
pub(crate) struct CaptionWish {
    /// Candidates, best first.
    pub(crate) candidates: Vec<Vec<Text>>,
}

impl CaptionWish {
    /// The room to keep: as wide as the likeliest place, as high as the likeliest two.
    fn room(&self) -> Option<Extent> {
        let around = |texts: &Vec<Text>| texts.iter().map(Text::extent).reduce(Extent::union);
        let first = self.candidates.first().and_then(around)?;
        let second = self.candidates.get(1).and_then(around).unwrap_or(first);
        Some(Extent {
            top: first.top.min(second.top),
            bottom: first.bottom.max(second.bottom),
            ..first
        })
    }
}

/// Marks, wires, pins and labels of a schematic in the making.
#[derive(Debug, Clone, Default)]
pub(crate) struct Canvas {
    pub(crate) wires: Vec<Wire>,
    pub(crate) pins: Vec<(PlacedPin, usize)>,
    pub(crate) labels: Vec<(PlacedLabel, usize)>,
    pub(crate) marks: Vec<Mark>,
    /// Areas that captions must keep clear of, beside the wires.
    pub(crate) bodies: Vec<Extent>,
    pub(crate) wishes: Vec<CaptionWish>,
}

impl Canvas {
    /// Runs a wire through the points; a run of no length is left out.
    pub(crate) fn wire(&mut self, net: usize, points: &[Point]) {
        for pair in points.windows(2) {
            if !pair[0].meets(pair[1]) {
                self.wires.push(Wire {
                    net,
                    from: pair[0],
                    to: pair[1],
                });
            }
        }
    }

    /// Places a pin.
    pub(crate) fn pin(&mut self, part: usize, pin: usize, net: usize, at: Point) {
        self.pins.push((PlacedPin { part, pin, at }, net));
    }

    /// Adds an outline mark of a part or label.
    pub(crate) fn outline(&mut self, layer: Layer, points: &[Point], closed: bool) {
        self.marks.push(Mark {
            layer,
            shape: Shape::Path {
                points: points.to_vec(),
                closed,
                stroke: Some(Stroke::solid(LINE, Ink::Black)),
                fill: None,
            },
        });
    }

    /// Keeps an area free of captions.
    pub(crate) fn body(&mut self, a: Point, b: Point) {
        self.bodies.push(Extent::spanning(a, b));
    }

    /// Moves everything down by `dy` millimetres and right by `dx`, then takes it over.
    pub(crate) fn take(&mut self, other: Canvas, dx: f64, dy: f64) {
        let shift = |p: Point| p.moved(dx, dy);
        self.wires.extend(other.wires.into_iter().map(|w| Wire {
            net: w.net,
            from: shift(w.from),
            to: shift(w.to),
        }));
        self.pins.extend(other.pins.into_iter().map(|(mut p, n)| {
            p.at = shift(p.at);
            (p, n)
        }));
        self.labels
            .extend(other.labels.into_iter().map(|(mut l, n)| {
                l.at = shift(l.at);
                (l, n)
            }));
        self.marks.extend(other.marks.into_iter().map(|m| Mark {
            layer: m.layer,
            shape: m.shape.moved(dx, dy),
        }));
        self.bodies
            .extend(other.bodies.into_iter().map(|b| b.moved(dx, dy)));
        for mut wish in other.wishes {
            for text in wish.candidates.iter_mut().flatten() {
                text.at = shift(text.at);
            }
            self.wishes.push(wish);
        }
    }

    /// The rectangle everything drawn so far needs, with room for every caption.
    pub(crate) fn extent(&self) -> Option<Extent> {
        let wires = self.wires.iter().map(|w| Extent::spanning(w.from, w.to));
        let marks = self.marks.iter().map(|m| m.shape.extent());
        let words = self.wishes.iter().filter_map(CaptionWish::room);
        wires
            .chain(marks)
            .chain(words)
            .chain(self.bodies.iter().copied())
            .reduce(Extent::union)
    }

    /// Arms that meet at a place: wire ends, passing wires twice, pins once.
    fn arms(&self, p: Point) -> usize {
        let wires: usize = self
            .wires
            .iter()
            .filter(|w| w.holds(p))
            .map(|w| if w.ends_at(p) { 1 } else { 2 })
            .sum();
        wires + self.pins.iter().filter(|(pin, _)| pin.at.meets(p)).count()
    }

    /// Places where a wire ends or a pin lies, each once.
    fn knots(&self) -> Vec<Point> {
        let mut knots: Vec<Point> = Vec::new();
        let ends = self.wires.iter().flat_map(|w| [w.from, w.to]);
        for p in ends.chain(self.pins.iter().map(|(pin, _)| pin.at)) {
            if !knots.iter().any(|k| k.meets(p)) {
                knots.push(p);
            }
        }
        knots
    }

    /// Joins collinear wires of one net that touch or overlap, so that arms can be counted.
    pub(crate) fn tidy(&mut self) {
        let mut joined: Vec<Wire> = Vec::new();
        let mut queue = std::mem::take(&mut self.wires);
        while let Some(wire) = queue.pop() {
            match joined.iter().position(|w| joinable(w, &wire)) {
                Some(at) => {
                    let e = Extent::spanning(wire.from, wire.to)
                        .union(Extent::spanning(joined[at].from, joined[at].to));
                    joined.swap_remove(at);
                    queue.push(Wire {
                        net: wire.net,
                        from: Point::new(e.left, e.top),
                        to: Point::new(e.right, e.bottom),
                    });
                }
                None => joined.push(wire),
            }
        }
        joined.sort_by(|a, b| {
            (a.from.y, a.from.x, a.to.y, a.to.x)
                .partial_cmp(&(b.from.y, b.from.x, b.to.y, b.to.x))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        self.wires = joined;
    }

    /// How often a wire crosses another, once the canvas is tidy.
    pub(crate) fn crossings(&self) -> usize {
        let cross = |h: &Wire, v: &Wire| {
            let (h, v) = (
                Extent::spanning(h.from, h.to),
                Extent::spanning(v.from, v.to),
            );
            let inside = |low: f64, at: f64, high: f64| low + 1e-3 < at && at + 1e-3 < high;
            inside(h.left, v.left, h.right)
                && inside(h.left, v.right, h.right)
                && inside(v.top, h.top, v.bottom)
                && inside(v.top, h.bottom, v.bottom)
        };
        let wires = self.wires.iter().enumerate();
        wires
            .flat_map(|(i, a)| self.wires[..i].iter().map(move |b| (a, b)))
            .filter(|(a, b)| cross(a, b) || cross(b, a))
            .count()
    }

    /// Whether no two nets touch: no shared place, no overlap along a line.
    pub(crate) fn sound(&self) -> bool {
        let touch = |a: &Wire, b: &Wire| {
            a.net != b.net
                && ([b.from, b.to].iter().any(|&p| a.holds(p))
                    || [a.from, a.to].iter().any(|&p| b.holds(p)))
        };
        let wires_clear = self
            .wires
            .iter()
            .enumerate()
            .all(|(i, a)| self.wires[..i].iter().all(|b| !touch(a, b)));
        let pins_clear = self.pins.iter().all(|(pin, net)| {
            let clear = |w: &Wire| w.net == *net || !w.holds(pin.at);
            self.wires.iter().all(clear)
                && self
                    .pins
                    .iter()
                    .all(|(q, n)| n == net || !q.at.meets(pin.at))
        });
        wires_clear && pins_clear
    }

    /// Whether every net is one piece: its wires, pins and labels reach each other, two
    /// labels of one name counting as joined.
    pub(crate) fn whole(&self) -> bool {
        let mut nets: Vec<usize> = self.pins.iter().map(|(_, n)| *n).collect();
        nets.sort_unstable();
        nets.dedup();
        nets.into_iter().all(|net| self.one_piece(net))
    }

    fn one_piece(&self, net: usize) -> bool {
        let wires: Vec<&Wire> = self.wires.iter().filter(|w| w.net == net).collect();
        let pins = self.pins.iter().filter(|(_, n)| *n == net);
        let pins: Vec<Point> = pins.map(|(p, _)| p.at).collect();
        let labels = self.labels.iter().filter(|(_, n)| *n == net);
        let labels: Vec<Point> = labels.map(|(l, _)| l.at).collect();
        let Some(&start) = pins.first() else {
            return true;
        };
        let mut reached = vec![start];
        let (mut met, mut named) = (vec![false; wires.len()], false);
        let mut at = 0;
        while at < reached.len() {
            let here = reached[at];
            for (seen, wire) in met.iter_mut().zip(&wires) {
                if !*seen && wire.holds(here) {
                    *seen = true;
                    let all = pins.iter().chain(&labels).copied();
                    let ends = wires.iter().flat_map(|w| [w.from, w.to]);
                    reached.extend(all.chain(ends).filter(|&p| wire.holds(p)));
                    reached.extend([wire.from, wire.to]);
                }
            }
            if !named && labels.iter().any(|l| l.meets(here)) {
                named = true;
                reached.extend(&labels);
            }
            at += 1;
        }
        pins.iter().all(|p| reached.iter().any(|r| r.meets(*p)))
    }

    /// Turns wires and dots into marks of a drawing; captions are placed elsewhere.
    pub(crate) fn into_drawing(self, drawing: &mut Drawing) {
        let stroke = Stroke::solid(LINE, Ink::Black);
        for wire in &self.wires {
            drawing.line(Layer::Wire, wire.from, wire.to, stroke);
        }
        for knot in self.knots() {
            if self.arms(knot) > 2 {
                drawing.add(
                    Layer::Junction,
                    Shape::Circle {
                        centre: knot,
                        radius: DOT,
                        stroke: None,
                        fill: Some(Ink::Black),
                    },
                );
            }
        }
        drawing.marks.extend(self.marks);
    }
}

/// Whether two wires of one net lie on one line and touch.
fn joinable(a: &Wire, b: &Wire) -> bool {
    let flat = |w: &Wire| (w.from.y - w.to.y).abs() < 1e-3;
    let line = |w: &Wire| if flat(w) { w.from.y } else { w.from.x };
    a.net == b.net
        && flat(a) == flat(b)
        && (line(a) - line(b)).abs() < 1e-3
        && ([b.from, b.to].iter().any(|&p| a.holds(p))
            || [a.from, a.to].iter().any(|&p| b.holds(p)))
}
