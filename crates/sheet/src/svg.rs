//! A drawing written as SVG 1.1: one element a mark, millimetres as user units.

use std::fmt::Write as _;

use crate::{Anchor, Drawing, Ink, Layer, Point, Shape, Stroke, Text};

/// Faces to look for, in order; all have the widths [`Text`] reckons with, or narrower.
const FACES: &str = "Helvetica,Arial,'Liberation Sans',sans-serif";

/// Writes a drawing as a complete SVG document fragment with its own size.
///
/// The result is the same, byte for byte, for the same drawing.
#[must_use]
pub fn svg(drawing: &Drawing) -> String {
    let (w, h) = (number(drawing.width), number(drawing.height));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"0 0 {w} {h}\" font-family=\"{FACES}\" stroke-linecap=\"round\" \
         stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n",
        escape(&drawing.title),
        escape(&drawing.description)
    );
    let mut marks: Vec<_> = drawing.marks.iter().collect();
    marks.sort_by_key(|m| m.layer != Layer::Ground);
    for mark in marks {
        element(&mut out, &mark.shape);
    }
    out.push_str("</svg>\n");
    out
}

fn element(out: &mut String, shape: &Shape) {
    match shape {
        Shape::Line { from, to, stroke } => {
            let _ = write!(
                out,
                "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>",
                number(from.x),
                number(from.y),
                number(to.x),
                number(to.y),
                line_style(stroke)
            );
        }
        Shape::Path {
            points,
            closed,
            stroke,
            fill,
        } => {
            let name = if *closed { "polygon" } else { "polyline" };
            let list: Vec<_> = points
                .iter()
                .map(|p| format!("{},{}", number(p.x), number(p.y)))
                .collect();
            let _ = write!(
                out,
                "<{name} points=\"{}\"{}/>",
                list.join(" "),
                area_style(*stroke, *fill)
            );
        }
        Shape::Arc {
            centre,
            radius,
            from_deg,
            to_deg,
            stroke,
        } => arc(out, (*centre, *radius), (*from_deg, *to_deg), stroke),
        Shape::Circle {
            centre,
            radius,
            stroke,
            fill,
        } => {
            let _ = write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
                number(centre.x),
                number(centre.y),
                number(*radius),
                area_style(*stroke, *fill)
            );
        }
        Shape::Text(text) => words(out, text),
    }
    out.push('\n');
}

fn arc(out: &mut String, (centre, radius): (Point, f64), (from, to): (f64, f64), stroke: &Stroke) {
    let end = |deg: f64| {
        let (sin, cos) = deg.to_radians().sin_cos();
        format!(
            "{} {}",
            number(centre.x + radius * cos),
            number(centre.y + radius * sin)
        )
    };
    let large = u8::from(to - from > 180.0);
    let r = number(radius);
    let _ = write!(
        out,
        "<path d=\"M{} A{r} {r} 0 {large} 1 {}\" fill=\"none\"{}/>",
        end(from),
        end(to),
        line_style(stroke)
    );
}

fn words(out: &mut String, text: &Text) {
    let (x, y) = (number(text.at.x), number(text.at.y));
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let weight = if text.bold {
        " font-weight=\"700\""
    } else {
        ""
    };
    let turn = if text.upwards {
        format!(" transform=\"rotate(-90 {x} {y})\"")
    } else {
        String::new()
    };
    let _ = write!(
        out,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\"{anchor}{weight}{turn}>{}</text>",
        number(text.size),
        text.ink.hex(),
        escape(&text.words)
    );
}

fn line_style(stroke: &Stroke) -> String {
    let mut style = format!(
        " stroke=\"{}\" stroke-width=\"{}\"",
        stroke.ink.hex(),
        number(stroke.width)
    );
    let pattern = stroke.dash.pattern();
    if !pattern.is_empty() {
        let list: Vec<_> = pattern.iter().map(|&l| number(l)).collect();
        let _ = write!(
            style,
            " stroke-dasharray=\"{}\" stroke-linecap=\"butt\"",
            list.join(" ")
        );
    }
    style
}

fn area_style(stroke: Option<Stroke>, fill: Option<Ink>) -> String {
    let fill = fill.map_or("none", Ink::hex);
    let edge = stroke.map_or_else(String::new, |s| line_style(&s));
    format!(" fill=\"{fill}\"{edge}")
}

/// A coordinate to a hundredth of a millimetre, without trailing zeros or a negative zero.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Text made safe inside an element or a quoted attribute of XML or HTML.
///
/// Control characters that XML 1.0 forbids are left out.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}
