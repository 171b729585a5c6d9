//! Cuts a curve at the edges of a rectangle.
//!
//! Liang and Barsky's parametric clipping of each stretch, [LIANG-BARSKY] (from memory).

use crate::{Extent, Point};

/// The parts of a curve inside a rectangle.
pub(crate) fn clip(points: &[Point], window: &Extent) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    for pair in points.windows(2) {
        let Some((a, b)) = stretch(pair[0], pair[1], window) else {
            continue;
        };
        match runs.last_mut() {
            Some(run) if run.last().is_some_and(|p| p.meets(a)) => run.push(b),
            _ => runs.push(vec![a, b]),
        }
    }
    runs
}

/// The part of one stretch inside the rectangle.
fn stretch(a: Point, b: Point, w: &Extent) -> Option<(Point, Point)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (p, q) in [
        (-dx, a.x - w.left),
        (dx, w.right - a.x),
        (-dy, a.y - w.top),
        (dy, w.bottom - a.y),
    ] {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    (enter <= leave).then(|| {
        (
            a.moved(enter * dx, enter * dy),
            a.moved(leave * dx, leave * dy),
        )
    })
}
