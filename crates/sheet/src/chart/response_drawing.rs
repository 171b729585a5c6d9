//! The response chart: gain against frequency, with pitch, width and neighbours.

use units::{Decibels, Hertz, Quantity};

use super::axis::{FIGURES, plain, three_figures};
use super::frame::Frame;
use super::response::{Neighbour, ResponseChart};
use crate::{Anchor, Dash, Drawing, Ink, Layer, Point, Shape, Stroke, Text};

/// Room that the name of the upright axis takes, mm.
const NAME: f64 = 17.0;

/// Draws the response chart at a size in millimetres.
#[must_use]
pub fn response_drawing(chart: &ResponseChart, width: f64, height: f64) -> Drawing {
    let range = (chart.range.0.si(), chart.range.1.si());
    let gains = chart
        .curves
        .iter()
        .flat_map(|c| &c.points)
        .filter(|(f, _)| f.si() >= range.0 && f.si() <= range.1)
        .map(|(_, g)| g.si());
    let at_pitch = chart.pitch.map(|(_, g)| g.si());
    let levels = levels_of(gains, at_pitch, &chart.neighbours);
    let mut frame = Frame::new(
        "Response",
        (width, height),
        (range, chart.logarithmic),
        levels,
    );
    frame.drawing.description = describe(chart);
    if let Some((low, high)) = chart.width_6db {
        frame.shade(low.si(), high.si());
    }
    frame.axes(("Frequency, Hz", plain), ("Gain, dB", plain));
    let stretches: Vec<_> = chart
        .curves
        .iter()
        .map(|c| frame.stretches(c.points.iter().map(|(f, g)| (f.si(), g.si()))))
        .collect();
    for (n, runs) in stretches.iter().enumerate().rev() {
        frame.curve(n, runs.clone());
    }
    mark_pitch(&mut frame, chart.pitch);
    width_6db(&mut frame, chart);
    mark_neighbours(&mut frame, chart.pitch, &chart.neighbours);
    if chart.curves.len() > 1 {
        for (n, runs) in stretches.iter().enumerate() {
            frame.name_curve(n, &chart.curves[n].name, runs);
        }
    }
    frame.drawing
}

/// From a little over the highest gain to 20 dB under the deepest wish, 50 to 90 dB in all.
pub(super) fn levels_of(
    gains: impl Iterator<Item = f64>,
    at_pitch: Option<f64>,
    neighbours: &[Neighbour],
) -> (f64, f64) {
    let gains: Vec<f64> = gains.filter(|g| g.is_finite()).collect();
    let highest = gains.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let lowest = gains.iter().copied().fold(f64::INFINITY, f64::min);
    if !highest.is_finite() {
        return (-60.0, 10.0);
    }
    let top = ((highest + 4.0) / 10.0).ceil() * 10.0;
    let at_pitch = at_pitch.unwrap_or(highest);
    let wished = neighbours
        .iter()
        .map(|n| at_pitch - n.down.si().abs() - 20.0)
        .fold(top - 50.0, f64::min);
    let bottom = wished.max(top - 90.0).max(lowest.min(top - 50.0));
    ((bottom / 10.0).floor() * 10.0, top)
}

/// The pitch, where it is shown.
pub(super) fn mark_pitch(frame: &mut Frame, pitch: Option<(Hertz, Decibels)>) {
    if let Some((f, _)) = pitch {
        pitch_line(frame, f);
    }
}

/// A line with its frequency, where it is shown.
pub(super) fn pitch_line(frame: &mut Frame, f: Hertz) {
    if !frame.x.shows(f.si()) {
        return;
    }
    let (x, field) = (frame.x.at(f.si()), frame.field);
    frame.drawing.line(
        Layer::Symbol,
        Point::new(x, field.top),
        Point::new(x, field.bottom),
        Stroke {
            width: 0.25,
            ink: Ink::Black,
            dash: Dash::StrokeDot,
        },
    );
    let words = format!("pitch {f}");
    // Beside the name of the upright axis, which stands on the same line.
    let half = Text::width_of(&words, FIGURES, true) / 2.0;
    let place = Point::new(x.max(NAME + half), field.top - 1.6);
    let mut text = Text::new(words, place, FIGURES, Anchor::Middle);
    text.bold = true;
    frame.drawing.text(text);
    let line = [Point::new(x, field.top), Point::new(x, field.bottom)];
    frame.placer.avoid_curve(&line);
}

fn width_6db(frame: &mut Frame, chart: &ResponseChart) {
    let (Some((low, high)), Some((_, gain))) = (chart.width_6db, chart.pitch) else {
        return;
    };
    let y = frame.y.at(gain.si() - 6.0206);
    let (a, b) = (
        Point::new(frame.x.at(low.si()), y),
        Point::new(frame.x.at(high.si()), y),
    );
    let stroke = Stroke::solid(0.3, Ink::Black);
    frame.drawing.line(Layer::Symbol, a, b, stroke);
    for (end, side) in [(a, 1.0), (b, -1.0)] {
        frame.drawing.add(
            Layer::Symbol,
            Shape::Path {
                points: vec![end.moved(1.8 * side, -0.8), end, end.moved(1.8 * side, 0.8)],
                closed: false,
                stroke: Some(stroke),
                fill: None,
            },
        );
    }
    frame.placer.avoid_curve(&[a, b]);
    let wide = Hertz(three_figures(high.si() - low.si()));
    let (words, short) = (format!("{wide} wide, 6 dB down"), format!("{wide} wide"));
    let places: Vec<_> = (0..12)
        .flat_map(|n| {
            let dy = 1.0 + 3.6 * f64::from(n);
            [
                (b.moved(2.5, dy), Anchor::Start),
                (a.moved(-2.5, dy), Anchor::End),
                (b.moved(6.0, dy), Anchor::Start),
            ]
        })
        .collect();
    frame.note(&[&words, &short], &places);
}

/// Each neighbour: a bar the curve must stay under, on a foot from the axis.
pub(super) fn mark_neighbours(
    frame: &mut Frame,
    pitch: Option<(Hertz, Decibels)>,
    neighbours: &[Neighbour],
) {
    let Some((pitch, gain)) = pitch else {
        return;
    };
    for neighbour in neighbours {
        if !frame.x.shows(neighbour.at.si()) {
            continue;
        }
        let down = neighbour.down.si().abs();
        let at = Point::new(frame.x.at(neighbour.at.si()), frame.y.at(gain.si() - down));
        let stroke = Stroke::solid(0.5, Ink::Black);
        frame.drawing.line(
            Layer::Symbol,
            at.moved(-3.0, 0.0),
            at.moved(3.0, 0.0),
            stroke,
        );
        frame.drawing.add(
            Layer::Symbol,
            Shape::Path {
                points: vec![at.moved(-1.3, 0.8), at.moved(1.3, 0.8), at.moved(0.0, 3.0)],
                closed: true,
                stroke: None,
                fill: Some(Ink::Black),
            },
        );
        frame.placer.avoid(crate::Extent::spanning(
            at.moved(-3.0, -0.4),
            at.moved(3.0, 3.2),
        ));
        let offset = neighbour.at.si() - pitch.si();
        let sign = if offset < 0.0 { "−" } else { "+" };
        let offset = Hertz(offset.abs());
        let words = format!("{sign}{offset}: {} dB", plain(down));
        let short = format!("{sign}{offset}");
        let places: Vec<_> = (0..10)
            .flat_map(|n| {
                let dy = 1.4 + 3.4 * f64::from(n);
                [
                    (at.moved(0.0, -dy), Anchor::Middle),
                    (at.moved(3.8, 2.0 - dy), Anchor::Start),
                    (at.moved(-3.8, 2.0 - dy), Anchor::End),
                    (at.moved(1.0, -dy), Anchor::Start),
                    (at.moved(-1.0, -dy), Anchor::End),
                    (at.moved(3.0, -dy), Anchor::End),
                    (at.moved(-3.0, -dy), Anchor::Start),
                    (at.moved(0.0, 4.6 + dy), Anchor::Middle),
                    (at.moved(1.0, 4.6 + dy), Anchor::End),
                    (at.moved(-1.0, 4.6 + dy), Anchor::Start),
                ]
            })
            .collect();
        frame.note(&[&words, &short], &places);
    }
}

fn describe(chart: &ResponseChart) -> String {
    let mut words = format!(
        "Gain in decibels against frequency from {} to {}.",
        chart.range.0, chart.range.1
    );
    if let Some((f, gain)) = chart.pitch {
        words += &format!(" At the pitch of {f} the gain is {} dB.", plain(gain.si()));
    }
    if let Some((low, high)) = chart.width_6db {
        words += &format!(" It is 6 dB down at {low} and {high}.");
    }
    words
}
