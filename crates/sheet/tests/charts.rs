//! Charts: what must be on them, and that a black-and-white print loses nothing.

#[path = "samples/charts.rs"]
mod samples;

use sheet::{
    CountChart, Drawing, Layer, Point, Shape, Stroke, band_drawing, count_drawing,
    response_drawing, svg, tail_drawing,
};
use units::{Decibels, Hertz, Seconds};

fn curves(drawing: &Drawing) -> Vec<(Vec<Point>, Stroke)> {
    drawing
        .marks
        .iter()
        .filter(|m| m.layer == Layer::Curve)
        .filter_map(|m| match &m.shape {
            Shape::Path {
                points,
                stroke: Some(stroke),
                ..
            } => Some((points.clone(), *stroke)),
            _ => None,
        })
        .collect()
}

fn words(drawing: &Drawing) -> Vec<String> {
    drawing
        .marks
        .iter()
        .filter_map(|m| match &m.shape {
            Shape::Text(t) => Some(t.words.clone()),
            _ => None,
        })
        .collect()
}

fn sizes() -> [(f64, f64); 3] {
    [(180.0, 74.0), (87.0, 76.0), (120.0, 60.0)]
}

const FOUR: [(&str, f64); 4] = [("q 2", 2.0), ("q 4", 4.0), ("q 8", 8.0), ("q 16", 16.0)];

/// Black and white: of several curves no two share a dash pattern, and each is named.
#[test]
fn curves_differ_without_colour() {
    for (w, h) in sizes() {
        for drawing in [
            response_drawing(&samples::response(&FOUR), w, h),
            tail_drawing(&samples::tail(&FOUR), w, h),
        ] {
            let mut patterns: Vec<&[f64]> = curves(&drawing)
                .iter()
                .map(|(_, s)| s.dash.pattern())
                .collect();
            patterns.sort_by(|a, b| a.partial_cmp(b).unwrap());
            patterns.dedup();
            assert_eq!(patterns.len(), 4, "{} at {w} mm", drawing.title);
            let words = words(&drawing);
            for (name, _) in FOUR {
                let named = words.iter().filter(|t| *t == name).count();
                assert_eq!(named, 1, "{name} on {} at {w} mm", drawing.title);
            }
        }
    }
}

/// Physical invariant: words neither overlap each other nor leave the paper; at least
/// 2 mm tall; curves stay inside.
#[test]
fn words_are_clear_and_everything_is_on_the_paper() {
    for (w, h) in sizes() {
        for drawing in [
            response_drawing(&samples::response(&FOUR), w, h),
            response_drawing(&samples::response(&FOUR[..1]), w, h),
            tail_drawing(&samples::tail(&FOUR), w, h),
        ] {
            let texts: Vec<_> = drawing
                .marks
                .iter()
                .filter_map(|m| match &m.shape {
                    Shape::Text(t) if !t.words.is_empty() => Some(t),
                    _ => None,
                })
                .collect();
            for (i, a) in texts.iter().enumerate() {
                assert!(a.size >= 2.0, "{}", a.words);
                for b in &texts[..i] {
                    let clash = a.extent().overlaps(&b.extent());
                    assert!(!clash, "{} over {} at {w} mm", a.words, b.words);
                }
            }
            for mark in &drawing.marks {
                let e = mark.shape.extent();
                let on = e.left >= 0.0 && e.top >= 0.0 && e.right <= w && e.bottom <= h;
                assert!(on, "{mark:?} is off the paper of {w} mm");
            }
        }
    }
}

/// Closed form: the curve passes where the numbers say, read back through the axes' own
/// figures (two ticks fix a linear scale).
#[test]
fn a_point_lies_where_its_axis_figures_say() {
    let mut chart = samples::response(&FOUR[1..2]);
    chart.logarithmic = false;
    let drawing = response_drawing(&chart, 180.0, 74.0);
    let place = |words: &str| {
        drawing.marks.iter().find_map(|m| match &m.shape {
            Shape::Text(t) if t.words == words => Some(t.at),
            _ => None,
        })
    };
    let (a, b) = (place("400").unwrap(), place("1000").unwrap());
    let x_at = |f: f64| a.x + (f - 400.0) / 600.0 * (b.x - a.x);
    let (zero, low) = (place("0").unwrap(), place("−40").unwrap());
    let offset = 0.36 * 2.8;
    let y_at = |db: f64| zero.y - offset + db / -40.0 * (low.y - zero.y);
    let (points, _) = &curves(&drawing)[0];
    let top = points.iter().min_by(|p, q| p.y.total_cmp(&q.y)).unwrap();
    assert!((top.x - x_at(650.0)).abs() < 1.5, "peak at {top:?}");
    assert!((top.y - y_at(0.0)).abs() < 0.1, "peak at {top:?}");
}

/// Awkward values: empty curves, nulls, an empty range and a dit beyond the edge are drawn.
#[test]
fn awkward_values_are_drawn() {
    let mut chart = samples::response(&FOUR[..1]);
    chart.curves[0].points[10].1 = Decibels(f64::NEG_INFINITY);
    chart.curves[0].points[11].1 = Decibels(f64::NAN);
    chart.range = (Hertz(0.0), Hertz(0.0));
    let text = svg(&response_drawing(&chart, 180.0, 74.0));
    assert!(!text.contains("NaN") && !text.contains("inf"));
    chart.curves.clear();
    chart.pitch = None;
    let text = svg(&response_drawing(&chart, 180.0, 74.0));
    assert!(!text.contains("NaN") && !text.contains("inf"));
    let mut chart = samples::tail(&FOUR[..1]);
    chart.dit = Some(Seconds(9.0));
    chart.until = Seconds(0.0);
    let text = svg(&tail_drawing(&chart, 180.0, 74.0));
    assert!(!text.contains("NaN") && !text.contains("inf"));
    assert!(roxmltree::Document::parse(&text).is_ok());
}

/// Everything of the band lies in the picture, both edges are lines of their own beside the printed
/// values, and the pitch and every neighbour are named.
#[test]
fn a_band_has_edges_and_names() {
    for (w, h) in sizes() {
        let drawing = band_drawing(&samples::band(), w, h);
        let lines = curves(&drawing);
        assert!(lines.len() >= 3, "{} lines at {w} mm", lines.len());
        for point in lines.iter().flat_map(|(points, _)| points) {
            assert!((0.0..=w).contains(&point.x) && (0.0..=h).contains(&point.y));
        }
        let words = words(&drawing);
        assert!(words.iter().any(|t| t.contains("650 Hz")), "{words:?}");
        assert!(words.iter().any(|t| t.starts_with("grey")), "{words:?}");
        assert!(svg(&drawing).contains("nine builds in ten"));
    }
}

/// A bar for every cell that holds builds, as high as its share; none for an empty chart.
#[test]
fn a_bar_for_every_cell_that_holds_builds() {
    let chart = samples::counts();
    let held = chart.builds.iter().filter(|n| **n > 0).count();
    for (w, h) in sizes() {
        let bars = curves(&count_drawing(&chart, w, h));
        assert_eq!(bars.len(), held);
        let height = |points: &[Point]| points[2].y - points[0].y;
        let tallest = bars.iter().map(|(p, _)| height(p)).fold(0.0, f64::max);
        let middle = height(&bars[held / 2].0);
        assert!(middle > 0.9 * tallest && tallest < h);
    }
    let empty = CountChart {
        builds: vec![0; 8],
        ..chart
    };
    assert!(curves(&count_drawing(&empty, 87.0, 76.0)).is_empty());
}

/// A pitch at the left edge is named beside the name of the axis, not over it.
#[test]
fn the_pitch_does_not_cover_the_name_of_the_axis() {
    let chart = CountChart {
        pitch: Some(Hertz(600.0)),
        ..samples::counts()
    };
    let drawing = count_drawing(&chart, 87.0, 76.0);
    let texts: Vec<_> = drawing
        .marks
        .iter()
        .filter_map(|m| match &m.shape {
            Shape::Text(t) => Some(t),
            _ => None,
        })
        .collect();
    let named = |start: &str| texts.iter().find(|t| t.words.starts_with(start)).unwrap();
    assert!(named("pitch").extent().left > named("Builds").extent().right);
}
