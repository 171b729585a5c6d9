//! The tail chart: envelope against time after key-up, with a dit for comparison.

use units::{Quantity, Seconds};

use super::axis::{plain, three_figures};
use super::frame::Frame;
use super::tail::TailChart;
use crate::{Anchor, Dash, Drawing, Ink, Layer, Point, Shape, Stroke};

/// Draws the tail chart at a size in millimetres.
#[must_use]
pub fn tail_drawing(chart: &TailChart, width: f64, height: f64) -> Drawing {
    let until = 1e3 * chart.until.si();
    let highest = chart
        .curves
        .iter()
        .flat_map(|c| &c.points)
        .map(|(_, l)| l.si())
        .filter(|l| l.is_finite())
        .fold(0.0, f64::max);
    let top = if highest > 4.0 { 20.0 } else { 5.0 };
    let mut frame = Frame::new("Tail", (width, height), ((0.0, until), false), (-60.0, top));
    frame.drawing.description = describe(chart);
    if let Some(dit) = chart.dit {
        frame.shade(0.0, 1e3 * dit.si());
    }
    frame.axes(
        ("Time after key-up, ms", plain),
        ("Envelope, dB against the settled tone", plain),
    );
    let stretches: Vec<_> = chart
        .curves
        .iter()
        .map(|c| frame.stretches(c.points.iter().map(|(t, l)| (1e3 * t.si(), l.si()))))
        .collect();
    for level in [-20.0, -40.0] {
        level_line(&mut frame, level);
    }
    for (n, runs) in stretches.iter().enumerate().rev() {
        frame.curve(n, runs.clone());
    }
    falls(&mut frame, chart);
    dit(&mut frame, chart);
    if chart.curves.len() > 1 {
        for (n, runs) in stretches.iter().enumerate() {
            frame.name_curve(n, &chart.curves[n].name, runs);
        }
    }
    frame.drawing
}

fn level_line(frame: &mut Frame, level: f64) {
    let y = frame.y.at(level);
    let (a, b) = (
        Point::new(frame.field.left, y),
        Point::new(frame.field.right, y),
    );
    let stroke = Stroke {
        width: 0.3,
        ink: Ink::Black,
        dash: Dash::Short,
    };
    frame.drawing.line(Layer::Symbol, a, b, stroke);
    frame.placer.avoid_curve(&[a, b]);
}

/// Marks where the first curve leaves −20 dB and −40 dB for good.
fn falls(frame: &mut Frame, chart: &TailChart) {
    let Some((twenty, forty)) = chart.curves.first().and_then(|c| c.falls) else {
        return;
    };
    for (time, level) in [(twenty, -20.0), (forty, -40.0)] {
        let ms = 1e3 * time.si();
        if !frame.x.shows(ms) {
            continue;
        }
        let at = Point::new(frame.x.at(ms), frame.y.at(level));
        frame.drawing.add(
            Layer::Symbol,
            Shape::Circle {
                centre: at,
                radius: 0.9,
                stroke: Some(Stroke::solid(0.35, Ink::Black)),
                fill: Some(Ink::Paper),
            },
        );
        frame
            .placer
            .avoid(crate::Extent::spanning(at, at).grown(1.0));
        let words = format!(
            "{} dB after {}",
            plain(level),
            Seconds(three_figures(time.si()))
        );
        let places: Vec<_> = (0..8)
            .flat_map(|n| {
                let dx = 2.0 + 4.0 * f64::from(n);
                [
                    (at.moved(dx, -1.4), Anchor::Start),
                    (at.moved(dx, 3.4), Anchor::Start),
                    (at.moved(-dx, 3.4), Anchor::End),
                    (at.moved(-dx, -1.4), Anchor::End),
                ]
            })
            .collect();
        frame.note(&[&words], &places);
    }
}

fn dit(frame: &mut Frame, chart: &TailChart) {
    let Some(dit) = chart.dit else { return };
    let field = frame.field;
    let end = frame.x.at(1e3 * dit.si()).min(field.right);
    let words = if chart.speed.is_empty() {
        format!("one dit: {}", Seconds(three_figures(dit.si())))
    } else {
        format!(
            "one dit at {}: {}",
            chart.speed,
            Seconds(three_figures(dit.si()))
        )
    };
    let places: Vec<_> = [3.6, 7.6, 11.6, 15.6]
        .into_iter()
        .flat_map(|dy| {
            [
                (Point::new(end - 1.5, field.top + dy), Anchor::End),
                (Point::new(end + 1.5, field.top + dy), Anchor::Start),
                (Point::new(end - 1.5, field.bottom - dy + 2.0), Anchor::End),
            ]
        })
        .collect();
    frame.note(&[&words], &places);
}

fn describe(chart: &TailChart) -> String {
    let mut words = format!(
        "Envelope in decibels against time after key-up, to {}.",
        chart.until
    );
    if let Some((twenty, forty)) = chart.curves.first().and_then(|c| c.falls) {
        words += &format!(" It is 20 dB down after {twenty} and 40 dB down after {forty}.");
    }
    words
}
