//! The chart of builds counted by their centre.

use super::axis::plain;
use super::count::CountChart;
use super::frame::Frame;
use super::response_drawing::pitch_line;
use crate::{Drawing, Ink, Layer, Point, Shape, Stroke};
use units::Quantity;

/// Draws the chart at a size in millimetres.
#[must_use]
pub fn count_drawing(chart: &CountChart, width: f64, height: f64) -> Drawing {
    let (from, to) = (chart.range.0.si(), chart.range.1.si());
    let total: u64 = chart.builds.iter().sum();
    let share = |builds: u64| 100.0 * builds as f64 / total.max(1) as f64;
    let greatest = chart.builds.iter().map(|&n| share(n)).fold(0.0, f64::max);
    let top = (1.15 * greatest).max(1.0);
    let mut frame = Frame::new(
        "Centres of many builds",
        (width, height),
        ((from, to), false),
        (0.0, top),
    );
    frame.drawing.description = describe(chart);
    if let Some((low, high)) = chart.nine_in_ten {
        frame.shade(low.si(), high.si());
    }
    frame.axes(("Centre, Hz", plain), ("Builds, %", plain));
    let step = (to - from) / chart.builds.len().max(1) as f64;
    for (k, &builds) in chart.builds.iter().enumerate().filter(|(_, n)| **n > 0) {
        let left = from + k as f64 * step;
        bar(&mut frame, (left, left + step), share(builds));
    }
    if let Some(pitch) = chart.pitch {
        pitch_line(&mut frame, pitch);
    }
    frame.drawing
}

fn bar(frame: &mut Frame, (left, right): (f64, f64), height: f64) {
    let (x, y) = (frame.x, frame.y);
    let (a, b) = (
        Point::new(x.at(left), y.at(height)),
        Point::new(x.at(right), y.at(0.0)),
    );
    frame.drawing.add(
        Layer::Curve,
        Shape::Path {
            points: vec![a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)],
            closed: true,
            stroke: Some(Stroke::solid(0.15, Ink::Paper)),
            fill: Some(Ink::Grey),
        },
    );
}

fn describe(chart: &CountChart) -> String {
    let mut words = format!(
        "Builds counted by their centre, from {} to {}.",
        chart.range.0, chart.range.1
    );
    if let Some((low, high)) = chart.nine_in_ten {
        words += &format!(" Nine in ten lie between {low:.3} and {high:.3}.");
    }
    words
}
