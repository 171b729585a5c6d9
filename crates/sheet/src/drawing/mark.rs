//! One mark on the paper.

use super::{Extent, Point, Stroke, Text};
use crate::Ink;

/// What a mark means, so that a drawing can be checked and styled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layer {
    /// Shaded areas, grids, frames: behind everything.
    Ground,
    /// A wire: its line joins what it touches end to end.
    Wire,
    /// The dot that joins wires meeting in a T.
    Junction,
    /// Body or lead of a part.
    Symbol,
    /// Symbol of a named net: supply, 0 V, mid-supply, terminal.
    Label,
    /// Curve of a chart.
    Curve,
    /// Words.
    Caption,
}

/// The geometry of a mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A run of straight lines, perhaps closed and filled.
    Path {
        /// Its corners.
        points: Vec<Point>,
        /// Whether the last corner joins the first.
        closed: bool,
        /// How its edge is drawn, if it is.
        stroke: Option<Stroke>,
        /// What fills it, if anything.
        fill: Option<Ink>,
    },
    /// A part of a circle, drawn clockwise.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius, mm.
        radius: f64,
        /// Where it starts, degrees clockwise from the right.
        from_deg: f64,
        /// Where it ends, degrees clockwise from the right; greater than the start.
        to_deg: f64,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A circle, perhaps filled.
    Circle {
        /// Centre.
        centre: Point,
        /// Radius, mm.
        radius: f64,
        /// How its edge is drawn, if it is.
        stroke: Option<Stroke>,
        /// What fills it, if anything.
        fill: Option<Ink>,
    },
    /// Words.
    Text(Text),
}

impl Shape {
    /// The rectangle the shape covers, without its line width.
    ///
    /// For an arc it is that of the whole circle.
    #[must_use]
    pub fn extent(&self) -> Extent {
        match self {
            Shape::Line { from, to, .. } => Extent::spanning(*from, *to),
            Shape::Path { points, .. } => points
                .iter()
                .map(|&p| Extent::spanning(p, p))
                .reduce(Extent::union)
                .unwrap_or_else(|| Extent::spanning(Point::new(0.0, 0.0), Point::new(0.0, 0.0))),
            Shape::Arc { centre, radius, .. } | Shape::Circle { centre, radius, .. } => {
                Extent::spanning(*centre, *centre).grown(*radius)
            }
            Shape::Text(text) => text.extent(),
        }
    }

    /// Draws the shape at another scale from the upper left corner, line widths included.
    pub fn scale(&mut self, scale: f64) {
        let point = |p: &mut Point| *p = Point::new(p.x * scale, p.y * scale);
        let widen = |s: &mut Stroke| s.width *= scale;
        match self {
            Shape::Line { from, to, stroke } => {
                point(from);
                point(to);
                widen(stroke);
            }
            Shape::Path { points, stroke, .. } => {
                points.iter_mut().for_each(point);
                stroke.iter_mut().for_each(widen);
            }
            Shape::Arc {
                centre,
                radius,
                stroke,
                ..
            } => {
                point(centre);
                *radius *= scale;
                widen(stroke);
            }
            Shape::Circle {
                centre,
                radius,
                stroke,
                ..
            } => {
                point(centre);
                *radius *= scale;
                stroke.iter_mut().for_each(widen);
            }
            Shape::Text(text) => {
                point(&mut text.at);
                text.size *= scale;
            }
        }
    }

    /// The same shape moved by the given millimetres.
    #[must_use]
    pub fn moved(mut self, dx: f64, dy: f64) -> Self {
        match &mut self {
            Shape::Line { from, to, .. } => {
                *from = from.moved(dx, dy);
                *to = to.moved(dx, dy);
            }
            Shape::Path { points, .. } => {
                for point in points {
                    *point = point.moved(dx, dy);
                }
            }
            Shape::Arc { centre, .. } | Shape::Circle { centre, .. } => {
                *centre = centre.moved(dx, dy);
            }
            Shape::Text(text) => text.at = text.at.moved(dx, dy),
        }
        self
    }
}

/// A shape and what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it means.
    pub layer: Layer,
    /// Where it is.
    pub shape: Shape,
}
