//! The drawing: a sheet size and marks in the order they are drawn.

use super::{Extent, Layer, Mark, Point, Shape, Stroke, Text};

/// A picture in millimetres, and the words that stand for it where it cannot be seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Short name, read out by a screen reader.
    pub title: String,
    /// What the picture shows, in a sentence or two.
    pub description: String,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// The marks.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// An empty drawing of that size in millimetres.
    #[must_use]
    pub fn new(title: impl Into<String>, width: f64, height: f64) -> Self {
        Drawing {
            title: title.into(),
            description: String::new(),
            width,
            height,
            marks: Vec::new(),
        }
    }

    /// Adds a shape.
    pub fn add(&mut self, layer: Layer, shape: Shape) {
        self.marks.push(Mark { layer, shape });
    }

    /// Adds a straight line.
    pub fn line(&mut self, layer: Layer, from: Point, to: Point, stroke: Stroke) {
        self.add(layer, Shape::Line { from, to, stroke });
    }

    /// Adds words.
    pub fn text(&mut self, text: Text) {
        self.add(Layer::Caption, Shape::Text(text));
    }

    /// The rectangle that holds every mark; nothing for an empty drawing.
    #[must_use]
    pub fn extent(&self) -> Option<Extent> {
        self.marks
            .iter()
            .map(|m| m.shape.extent())
            .reduce(Extent::union)
    }

    /// Draws everything at another scale, line widths and words included.
    pub fn scale(&mut self, scale: f64) {
        for mark in &mut self.marks {
            mark.shape.scale(scale);
        }
        self.width *= scale;
        self.height *= scale;
    }

    /// Moves everything so that the marks start `margin` millimetres from the upper left,
    /// and sets the size to what the marks need with that margin all round.
    pub fn fit(&mut self, margin: f64) {
        let Some(extent) = self.extent() else { return };
        let (dx, dy) = (margin - extent.left, margin - extent.top);
        for mark in &mut self.marks {
            let shape = std::mem::replace(
                &mut mark.shape,
                Shape::Circle {
                    centre: Point::new(0.0, 0.0),
                    radius: 0.0,
                    stroke: None,
                    fill: None,
                },
            );
            mark.shape = shape.moved(dx, dy);
        }
        self.width = extent.width() + 2.0 * margin;
        self.height = extent.height() + 2.0 * margin;
    }
}
