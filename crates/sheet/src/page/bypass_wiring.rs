//! The wiring of the bypass switch, as a picture of its lugs.
//!
//! Both ends of the filter are switched. With a third pole the supply is switched too,
//! and the lever's rest position is bypass (common practice).

use crate::{Anchor, Drawing, Extent, Ink, Layer, Point, Shape, Stroke, Text};

const FONT: f64 = 2.8;
const WIRE: Stroke = Stroke::solid(0.5, Ink::Black);
/// Rows of lugs: bypass, common, filter.
const ROWS: [f64; 3] = [14.0, 30.0, 46.0];

/// Draws the wiring, with a supply pole where asked.
#[must_use]
pub fn bypass_wiring(switches_supply: bool) -> Drawing {
    let mut d = Drawing::new("Bypass switch wiring", 0.0, 0.0);
    d.description = "Lug 2 takes the input, lug 5 the output; lugs 1 and 4 are joined; \
                     lug 3 goes to the board's input and lug 6 to its output."
        .to_owned();
    let (a, b, c) = (42.0, 62.0, 82.0);
    let columns = if switches_supply { 3 } else { 2 };
    let right = if switches_supply { c } else { b };
    frame(&mut d, a, right);
    let at = Point::new;
    wire(&mut d, &[at(a, ROWS[0]), at(b, ROWS[0])]);
    wire(&mut d, &[at(a, ROWS[1]), at(18.0, ROWS[1])]);
    socket(&mut d, at(18.0, ROWS[1]), "input jack", "tip", Anchor::End);
    let out = right + 24.0;
    let channel = f64::midpoint(ROWS[0], ROWS[1]);
    wire(
        &mut d,
        &[
            at(b, ROWS[1]),
            at(b + 7.0, ROWS[1]),
            at(b + 7.0, channel),
            at(out, channel),
        ],
    );
    socket(
        &mut d,
        at(out, channel),
        "output",
        "jack, tip",
        Anchor::Start,
    );
    let board = 63.0;
    wire(&mut d, &[at(a, ROWS[2]), at(a, board)]);
    wire(&mut d, &[at(b, ROWS[2]), at(b, board)]);
    let mut pads = vec![(a, "IN"), (b, "OUT")];
    if switches_supply {
        wire(&mut d, &[at(c, ROWS[1]), at(out, ROWS[1])]);
        socket(
            &mut d,
            at(out, ROWS[1]),
            "supply +",
            "after the fuse",
            Anchor::Start,
        );
        wire(&mut d, &[at(c, ROWS[2]), at(c, board)]);
        pads.push((c, "+"));
    }
    board_edge(&mut d, a, right, board, &pads);
    for (column, &x) in [a, b, c].iter().take(columns).enumerate() {
        for (row, &y) in ROWS.iter().enumerate() {
            lug(&mut d, Point::new(x, y), 3 * column + row + 1);
        }
    }
    row_names(&mut d, right);
    d.fit(2.0);
    d
}

fn frame(d: &mut Drawing, left: f64, right: f64) {
    let e = Extent {
        left: left - 8.0,
        top: ROWS[0] - 8.0,
        right: right + 11.0,
        bottom: ROWS[2] + 8.0,
    };
    d.add(
        Layer::Ground,
        Shape::Path {
            points: vec![
                Point::new(e.left, e.top),
                Point::new(e.right, e.top),
                Point::new(e.right, e.bottom),
                Point::new(e.left, e.bottom),
            ],
            closed: true,
            stroke: Some(Stroke::solid(0.3, Ink::Grey)),
            fill: Some(Ink::Shade),
        },
    );
    let place = Point::new(e.left, e.top - 1.6);
    let words = "switch from behind, lugs towards you";
    d.text(Text::new(words, place, FONT, Anchor::Start));
}

fn lug(d: &mut Drawing, at: Point, number: usize) {
    d.add(
        Layer::Symbol,
        Shape::Circle {
            centre: at,
            radius: 2.0,
            stroke: Some(WIRE),
            fill: Some(Ink::Paper),
        },
    );
    let mut text = Text::new(
        number.to_string(),
        at.moved(-3.0, -2.2),
        FONT,
        Anchor::Middle,
    );
    text.bold = true;
    d.text(text);
}

/// A wire from lug to lug; it starts and ends under the lugs' rims.
fn wire(d: &mut Drawing, points: &[Point]) {
    d.add(
        Layer::Wire,
        Shape::Path {
            points: points.to_vec(),
            closed: false,
            stroke: Some(WIRE),
            fill: None,
        },
    );
}

fn socket(d: &mut Drawing, at: Point, above: &str, below: &str, anchor: Anchor) {
    d.add(
        Layer::Symbol,
        Shape::Circle {
            centre: at,
            radius: 1.3,
            stroke: Some(WIRE),
            fill: Some(Ink::Black),
        },
    );
    let dx = if anchor == Anchor::End { -2.6 } else { 2.6 };
    let mut name = Text::new(above, at.moved(dx, -0.4), FONT, anchor);
    name.bold = true;
    d.text(name);
    d.text(Text::new(below, at.moved(dx, 3.0), FONT, anchor));
}

fn board_edge(d: &mut Drawing, left: f64, right: f64, y: f64, pads: &[(f64, &str)]) {
    let points = vec![
        Point::new(left - 8.0, y + 9.0),
        Point::new(left - 8.0, y),
        Point::new(right + 11.0, y),
        Point::new(right + 11.0, y + 9.0),
    ];
    d.add(
        Layer::Symbol,
        Shape::Path {
            points,
            closed: false,
            stroke: Some(Stroke::solid(0.4, Ink::Black)),
            fill: None,
        },
    );
    for &(x, name) in pads {
        d.add(
            Layer::Symbol,
            Shape::Circle {
                centre: Point::new(x, y),
                radius: 1.1,
                stroke: None,
                fill: Some(Ink::Black),
            },
        );
        let mut text = Text::new(name, Point::new(x, y + 4.6), FONT, Anchor::Middle);
        text.bold = true;
        d.text(text);
    }
    let place = Point::new(right + 13.0, y + 5.0);
    d.text(Text::new("board", place, FONT, Anchor::Start));
}

fn row_names(d: &mut Drawing, right: f64) {
    for (y, name) in [(ROWS[0], "bypass"), (ROWS[2], "filter")] {
        let place = Point::new(right + 13.0, y + 1.0);
        d.text(Text::new(name, place, FONT, Anchor::Start));
    }
}
