//! A place on the paper.

/// A place on the paper, millimetres from the upper left corner; y grows downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Millimetres to the right.
    pub x: f64,
    /// Millimetres downwards.
    pub y: f64,
}

impl Point {
    /// The place `x` millimetres to the right and `y` millimetres down.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Point { x, y }
    }

    /// This place moved by the given millimetres.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Point::new(self.x + dx, self.y + dy)
    }

    /// Whether two places are the same on paper (nearer than a thousandth of a millimetre).
    #[must_use]
    pub fn meets(self, other: Point) -> bool {
        (self.x - other.x).abs() < 1e-3 && (self.y - other.y).abs() < 1e-3
    }
}
