//! The wiring of the bypass switch, as a picture of its lugs.
//!
//! Both ends of the filter are switched. With a third pole the supply is switched too,
//! and the lever's rest position is bypass (common practice).

use super::Bypass;
use crate::{Anchor, Drawing, Extent, Ink, Layer, Point, Shape, Stroke, Text};

const FONT: f64 = 2.8;
const WIRE: Stroke = Stroke::solid(0.5, Ink::Black);
/// Rows of lugs: bypass, common, filter.
const ROWS: [f64; 3] = [12.0, 25.0, 38.0];
/// Columns of lugs, one a pole.
const POLES: [f64; 3] = [27.0, 41.0, 55.0];
/// Edge of the board.
const BOARD: f64 = 51.0;

/// Draws the wiring, with a supply pole where asked. It is as wide as a phone's screen.
#[must_use]
pub fn bypass_wiring(bypass: &Bypass) -> Drawing {
    let mut d = Drawing::new("Bypass switch wiring", 0.0, 0.0);
    d.description = "Lug 2 takes the input, lug 5 the output; lugs 1 and 4 are joined; \
                     lug 3 goes to the board's input and lug 6 to its output."
        .to_owned();
    let [a, b, c] = POLES;
    let columns = if bypass.switches_supply { 3 } else { 2 };
    let right = POLES[columns - 1];
    frame(&mut d, &bypass.switch, a, right);
    let at = Point::new;
    let [input, output, supply] = &bypass.jacks;
    wire(&mut d, &[at(a, ROWS[0]), at(b, ROWS[0])]);
    wire(&mut d, &[at(a, ROWS[1]), at(6.0, ROWS[1])]);
    socket(&mut d, at(6.0, ROWS[1]), [input, "input, tip"]);
    let out = right + 17.0;
    let channel = f64::midpoint(ROWS[0], ROWS[1]);
    let turn = b + 5.0;
    wire(
        &mut d,
        &[
            at(b, ROWS[1]),
            at(turn, ROWS[1]),
            at(turn, channel),
            at(out, channel),
        ],
    );
    socket(&mut d, at(out, channel), [output, "output, tip"]);
    wire(&mut d, &[at(a, ROWS[2]), at(a, BOARD)]);
    wire(&mut d, &[at(b, ROWS[2]), at(b, BOARD)]);
    let mut pads = vec![(a, "IN"), (b, "OUT")];
    if bypass.switches_supply {
        let low = f64::midpoint(ROWS[1], ROWS[2]);
        let to_supply = [
            at(c, ROWS[1]),
            at(c + 5.0, ROWS[1]),
            at(c + 5.0, low),
            at(out, low),
        ];
        wire(&mut d, &to_supply);
        socket(&mut d, at(out, low), [supply, "plus, fused"]);
        wire(&mut d, &[at(c, ROWS[2]), at(c, BOARD)]);
        pads.push((c, "+"));
    }
    board_edge(&mut d, a, right, BOARD, &pads);
    for (column, &x) in POLES.iter().take(columns).enumerate() {
        for (row, &y) in ROWS.iter().enumerate() {
            lug(&mut d, Point::new(x, y), 3 * column + row + 1);
        }
    }
    row_names(&mut d, a);
    d.fit(2.0);
    d
}

fn frame(d: &mut Drawing, switch: &str, left: f64, right: f64) {
    let e = Extent {
        left: left - 8.0,
        top: ROWS[0] - 6.5,
        right: right + 8.0,
        bottom: ROWS[2] + 6.0,
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
    let mut name = Text::new(switch, place, FONT, Anchor::Start);
    name.bold = true;
    let beside = name.extent().right + 1.5;
    d.text(name);
    let words = "from behind, lugs towards you";
    let place = Point::new(beside, e.top - 1.6);
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

/// A place off the board with its reference, and what it is.
fn socket(d: &mut Drawing, at: Point, [name, what]: [&str; 2]) {
    d.add(
        Layer::Symbol,
        Shape::Circle {
            centre: at,
            radius: 1.3,
            stroke: Some(WIRE),
            fill: Some(Ink::Black),
        },
    );
    let mut reference = Text::new(name, at.moved(0.0, -2.6), FONT, Anchor::Middle);
    reference.bold = true;
    d.text(reference);
    d.text(Text::new(what, at.moved(0.0, 4.6), FONT, Anchor::Middle));
}

fn board_edge(d: &mut Drawing, left: f64, right: f64, y: f64, pads: &[(f64, &str)]) {
    let points = vec![
        Point::new(left - 8.0, y + 7.0),
        Point::new(left - 8.0, y),
        Point::new(right + 8.0, y),
        Point::new(right + 8.0, y + 7.0),
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
    let place = Point::new(left - 9.5, y + 4.6);
    d.text(Text::new("board", place, FONT, Anchor::End));
}

/// What each row of lugs is, to the left of the frame.
fn row_names(d: &mut Drawing, left: f64) {
    for (y, name) in [(ROWS[0], "bypass"), (ROWS[2], "filter")] {
        let place = Point::new(left - 9.5, y + 1.0);
        d.text(Text::new(name, place, FONT, Anchor::End));
    }
}
