//! The field of a chart with its grid, figures and names, and curves drawn into it.

use super::axis::{Axis, FIGURES, Tick};
use super::clip::clip;
use super::placer::Placer;
use crate::{Anchor, Dash, Drawing, Extent, Ink, Layer, Point, Shape, Stroke, Text};

/// Room left of the field, mm.
const LEFT: f64 = 11.0;
/// Room above the field, mm.
const ABOVE: f64 = 7.0;
/// Room below the field, mm.
const BELOW: f64 = 11.5;
/// Room right of the field, mm.
const RIGHT: f64 = 4.0;

/// A chart in the making.
pub(crate) struct Frame {
    /// The picture.
    pub(crate) drawing: Drawing,
    /// Level axis.
    pub(crate) x: Axis,
    /// Upright axis.
    pub(crate) y: Axis,
    /// The field, mm.
    pub(crate) field: Extent,
    /// Where words may still go.
    pub(crate) placer: Placer,
}

impl Frame {
    /// An empty field of the given size with axes over the given ranges.
    pub(crate) fn new(
        title: &str,
        (width, height): (f64, f64),
        (x, logarithmic): ((f64, f64), bool),
        y: (f64, f64),
    ) -> Self {
        let field = Extent {
            left: LEFT,
            top: ABOVE,
            right: width - RIGHT,
            bottom: height - BELOW,
        };
        Frame {
            drawing: Drawing::new(title, width, height),
            x: Axis::new(x, logarithmic, field.left, field.right),
            y: Axis::new(y, false, field.bottom, field.top),
            field,
            placer: Placer::new(field.grown(-0.6)),
        }
    }

    /// Draws grid, figures and names of both axes.
    pub(crate) fn axes(
        &mut self,
        (x_name, x_words): (&str, fn(f64) -> String),
        (y_name, y_words): (&str, fn(f64) -> String),
    ) {
        let grid = Stroke::solid(0.15, Ink::Faint);
        let f = self.field;
        for Tick { at, words } in self.x.ticks(x_words) {
            self.drawing.line(
                Layer::Ground,
                Point::new(at, f.top),
                Point::new(at, f.bottom),
                grid,
            );
            let place = Point::new(at, f.bottom + 4.0);
            self.drawing
                .text(Text::new(words, place, FIGURES, Anchor::Middle));
        }
        for Tick { at, words } in self.y.ticks(y_words) {
            self.drawing.line(
                Layer::Ground,
                Point::new(f.left, at),
                Point::new(f.right, at),
                grid,
            );
            let place = Point::new(f.left - 1.3, at + 0.36 * FIGURES);
            self.drawing
                .text(Text::new(words, place, FIGURES, Anchor::End));
        }
        self.drawing.text(Text::new(
            x_name,
            Point::new((f.left + f.right) / 2.0, f.bottom + 9.0),
            FIGURES,
            Anchor::Middle,
        ));
        self.drawing.text(Text::new(
            y_name,
            Point::new(1.0, f.top - 3.0),
            FIGURES,
            Anchor::Start,
        ));
        self.drawing.add(
            Layer::Ground,
            Shape::Path {
                points: vec![
                    Point::new(f.left, f.top),
                    Point::new(f.right, f.top),
                    Point::new(f.right, f.bottom),
                    Point::new(f.left, f.bottom),
                ],
                closed: true,
                stroke: Some(Stroke::solid(0.25, Ink::Grey)),
                fill: None,
            },
        );
    }

    /// Shades the field between two places on the level axis.
    pub(crate) fn shade(&mut self, from: f64, to: f64) {
        let f = self.field;
        let (a, b) = (
            self.x.at(from).clamp(f.left, f.right),
            self.x.at(to).clamp(f.left, f.right),
        );
        self.drawing.add(
            Layer::Ground,
            Shape::Path {
                points: vec![
                    Point::new(a, f.top),
                    Point::new(b, f.top),
                    Point::new(b, f.bottom),
                    Point::new(a, f.bottom),
                ],
                closed: true,
                stroke: None,
                fill: Some(Ink::Shade),
            },
        );
    }

    /// The visible stretches of a curve, mm.
    pub(crate) fn stretches(&self, points: impl Iterator<Item = (f64, f64)>) -> Vec<Vec<Point>> {
        let mut runs = Vec::new();
        let mut run: Vec<Point> = Vec::new();
        for (x, y) in points {
            if x.is_finite() && y.is_finite() {
                run.push(Point::new(self.x.at(x), self.y.at(y)));
            } else if !run.is_empty() {
                runs.extend(clip(&std::mem::take(&mut run), &self.field));
            }
        }
        runs.extend(clip(&run, &self.field));
        runs
    }

    /// Draws curve number `n` in its own ink and dash pattern.
    pub(crate) fn curve(&mut self, n: usize, stretches: Vec<Vec<Point>>) {
        for points in stretches {
            self.placer.avoid_curve(&points);
            self.drawing.add(
                Layer::Curve,
                Shape::Path {
                    points,
                    closed: false,
                    stroke: Some(Stroke {
                        width: if n == 0 { 0.6 } else { 0.45 },
                        ink: Ink::Curve(n),
                        dash: Dash::of_curve(n),
                    }),
                    fill: None,
                },
            );
        }
    }

    /// Writes a curve's name beside it, where it fits best.
    pub(crate) fn name_curve(&mut self, n: usize, name: &str, stretches: &[Vec<Point>]) {
        let mut candidates = Vec::new();
        let points: Vec<Point> = stretches.iter().flatten().copied().collect();
        let count = points.len().max(1);
        // start from a different place for every curve, so that names spread out
        for step in 0..count {
            let p = points[(step + count * (3 + 2 * n) / 8) % count];
            for (dx, dy, anchor) in [
                (1.5, 0.8, Anchor::Start),
                (1.5, -1.6, Anchor::Start),
                (-1.5, -1.6, Anchor::End),
                (-1.5, 3.2, Anchor::End),
            ] {
                let mut text = Text::new(name, p.moved(dx, dy), FIGURES, anchor);
                text.ink = Ink::Curve(n);
                text.bold = true;
                candidates.push(text);
            }
        }
        if let Some(text) = self.placer.choose(candidates) {
            self.drawing.text(text);
        }
    }

    /// Puts the first of several wordings, longest first, at the first place that is free;
    /// where none fits they are left out.
    pub(crate) fn note(&mut self, wordings: &[&str], places: &[(Point, Anchor)]) {
        let candidates = wordings
            .iter()
            .flat_map(|words| {
                let text = |&(at, anchor): &(Point, Anchor)| Text::new(*words, at, FIGURES, anchor);
                places.iter().map(text)
            })
            .collect();
        if let Some(text) = self.placer.choose(candidates) {
            let box_ = text.extent().grown(0.3);
            self.drawing.add(
                Layer::Ground,
                Shape::Path {
                    points: vec![
                        Point::new(box_.left, box_.top),
                        Point::new(box_.right, box_.top),
                        Point::new(box_.right, box_.bottom),
                        Point::new(box_.left, box_.bottom),
                    ],
                    closed: true,
                    stroke: None,
                    fill: Some(Ink::Paper),
                },
            );
            self.drawing.text(text);
        }
    }
}
