//! Finds room for words among curves and other words.

use crate::{Extent, Point, Text};

/// What is taken already.
#[derive(Debug, Clone)]
pub(crate) struct Placer {
    window: Extent,
    taken: Vec<Extent>,
}

impl Placer {
    /// Room inside a rectangle.
    pub(crate) fn new(window: Extent) -> Self {
        Placer {
            window,
            taken: Vec::new(),
        }
    }

    /// Keeps clear of a curve.
    pub(crate) fn avoid_curve(&mut self, points: &[Point]) {
        const STEP: f64 = 1.0;
        for pair in points.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let length = (b.x - a.x).hypot(b.y - a.y);
            let parts = (length / STEP).ceil().clamp(1.0, 400.0) as usize;
            for part in 0..parts {
                let (s, t) = (part as f64 / parts as f64, (part + 1) as f64 / parts as f64);
                let at = |u: f64| a.moved(u * (b.x - a.x), u * (b.y - a.y));
                self.avoid(Extent::spanning(at(s), at(t)).grown(0.35));
            }
        }
    }

    /// Keeps clear of a rectangle.
    pub(crate) fn avoid(&mut self, extent: Extent) {
        self.taken.push(extent);
    }

    /// The first candidate that is clear of everything and inside the window.
    pub(crate) fn choose(&mut self, candidates: Vec<Text>) -> Option<Text> {
        let w = self.window;
        let found = candidates.into_iter().find(|text| {
            let e = text.extent();
            let inside =
                e.left >= w.left && e.right <= w.right && e.top >= w.top && e.bottom <= w.bottom;
            inside && !self.taken.iter().any(|t| t.overlaps(&e))
        })?;
        self.taken.push(found.extent());
        Some(found)
    }
}
