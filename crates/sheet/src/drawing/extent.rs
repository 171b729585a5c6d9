//! The rectangle a mark covers.

use super::Point;

/// An upright rectangle, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Extent {
    /// The rectangle with these two corners, in any order.
    #[must_use]
    pub fn spanning(a: Point, b: Point) -> Self {
        Extent {
            left: a.x.min(b.x),
            top: a.y.min(b.y),
            right: a.x.max(b.x),
            bottom: a.y.max(b.y),
        }
    }

    /// The smallest rectangle holding both.
    #[must_use]
    pub fn union(self, other: Extent) -> Self {
        Extent {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Grown by `margin` millimetres on every side.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        Extent {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// Moved by the given millimetres.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Extent {
            left: self.left + dx,
            top: self.top + dy,
            right: self.right + dx,
            bottom: self.bottom + dy,
        }
    }

    /// Whether the insides of the two share any area; touching edges do not count.
    #[must_use]
    pub fn overlaps(&self, other: &Extent) -> bool {
        const TOUCH: f64 = 1e-6;
        self.left < other.right - TOUCH
            && other.left < self.right - TOUCH
            && self.top < other.bottom - TOUCH
            && other.top < self.bottom - TOUCH
    }

    /// Width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
}
