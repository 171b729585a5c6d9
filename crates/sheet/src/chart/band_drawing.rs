//! The chart of a response over many builds: a band with the printed values in it.

use super::axis::plain;
use super::band::{BandChart, BandPoint};
use super::frame::Frame;
use super::response_drawing::{levels_of, mark_neighbours, mark_pitch};
use crate::{Anchor, Drawing, Ink, Layer, Point, Shape, Stroke};
use units::Quantity;

/// Draws the chart at a size in millimetres.
#[must_use]
pub fn band_drawing(chart: &BandChart, width: f64, height: f64) -> Drawing {
    let range = (chart.range.0.si(), chart.range.1.si());
    let points: Vec<&BandPoint> = chart.points.iter().filter(|p| is_drawn(p, range)).collect();
    let gains = points.iter().flat_map(|p| [p.high.si(), p.nominal.si()]);
    let at_pitch = chart.pitch.map(|(_, g)| g.si());
    let levels = levels_of(gains, at_pitch, &chart.neighbours);
    let mut frame = Frame::new(
        "Response over many builds",
        (width, height),
        (range, true),
        levels,
    );
    frame.drawing.description = describe(chart);
    frame.axes(("Frequency, Hz", plain), ("Gain, dB", plain));
    band(&mut frame, &points, levels);
    let nominal = frame.stretches(points.iter().map(|p| (p.at.si(), p.nominal.si())));
    frame.curve(0, nominal);
    mark_pitch(&mut frame, chart.pitch);
    mark_neighbours(&mut frame, chart.pitch, &chart.neighbours);
    frame.drawing
}

fn is_drawn(p: &BandPoint, (from, to): (f64, f64)) -> bool {
    let gains = [p.nominal, p.low, p.high];
    (from..=to).contains(&p.at.si()) && gains.iter().all(|g| g.si().is_finite())
}

/// The band, with its edges drawn so that it can be told on any print.
fn band(frame: &mut Frame, points: &[&BandPoint], (bottom, top): (f64, f64)) {
    let at = |p: &BandPoint, gain: f64| {
        Point::new(frame.x.at(p.at.si()), frame.y.at(gain.clamp(bottom, top)))
    };
    let mut outline: Vec<Point> = points.iter().map(|p| at(p, p.high.si())).collect();
    outline.extend(points.iter().rev().map(|p| at(p, p.low.si())));
    if outline.len() < 4 {
        return;
    }
    frame.drawing.add(
        Layer::Ground,
        Shape::Path {
            points: outline,
            closed: true,
            stroke: None,
            fill: Some(Ink::Faint),
        },
    );
    let edges = [|p: &BandPoint| p.high.si(), |p: &BandPoint| p.low.si()];
    for edge in edges {
        for points in frame.stretches(points.iter().map(|p| (p.at.si(), edge(p)))) {
            frame.placer.avoid_curve(&points);
            frame.drawing.add(
                Layer::Curve,
                Shape::Path {
                    points,
                    closed: false,
                    stroke: Some(Stroke::solid(0.2, Ink::Grey)),
                    fill: None,
                },
            );
        }
    }
    let field = frame.field;
    let places = [3.6, 7.6, 11.6].map(|dy| {
        let place = Point::new(field.left + 2.0, field.top + dy);
        (place, Anchor::Start)
    });
    frame.note(&["grey: nine builds in ten", "grey: 90 %"], &places);
}

fn describe(chart: &BandChart) -> String {
    let mut words = format!(
        "Gain in decibels against frequency from {} to {}: a line for the printed values, and a band \
         that nine builds in ten lie in.",
        chart.range.0, chart.range.1
    );
    if let Some((pitch, _)) = chart.pitch {
        let near = |p: &&BandPoint| (p.at.si() - pitch.si()).abs();
        let point = chart
            .points
            .iter()
            .min_by(|a, b| near(a).total_cmp(&near(b)));
        if let Some(p) = point {
            words += &format!(
                " At the pitch of {pitch} it reaches from {} to {} dB.",
                plain(p.low.si()),
                plain(p.high.si())
            );
        }
    }
    words
}
