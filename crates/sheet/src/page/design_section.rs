//! What the design is: figures with their definitions, findings, schematic and charts.

use super::html::Html;
use super::write::section;
use super::{BuildSheet, Notice, Severity};
use crate::{Drawing, SchematicStyle, response_drawing, schematic, tail_drawing};

/// Width of pictures on paper, mm.
const PAPER: f64 = 180.0;
/// Height of a schematic that still fits a page of Letter paper under its heading, mm.
const TALLEST: f64 = 212.0;
/// Width of charts on a phone, mm: 360 px less the margins, at 96 px an inch; two of
/// them stand side by side on paper.
const PHONE: f64 = 87.0;

/// The key figures in columns: name, value, and what was asked for.
pub(crate) fn figures(h: &mut Html, sheet: &BuildSheet) {
    if sheet.figures.is_empty() {
        return;
    }
    section(h, ("figures", ""), "Figures", |h| {
        h.tag("dl", &[("class", "figures")], |h| {
            for figure in &sheet.figures {
                h.tag("div", &[], |h| {
                    h.words("dt", "", &figure.name);
                    h.words("dd", "v", &figure.value);
                    if let Some(asked) = &figure.asked {
                        h.words("dd", "asked", &format!("asked {asked}"));
                    }
                });
            }
        });
        h.tag("p", &[("class", "definition")], |h| {
            h.tag("a", &[("href", "#definitions")], |h| {
                h.text("How each figure is defined");
            });
            h.text(" stands behind the schematic.");
        });
    });
}

/// The definitions of the figures and the wishes that were filled in, at the end.
pub(crate) fn definitions(h: &mut Html, sheet: &BuildSheet) {
    if sheet.figures.is_empty() && sheet.assumed.is_empty() {
        return;
    }
    section(h, ("definitions", ""), "How the figures are defined", |h| {
        h.tag("dl", &[("class", "glossary")], |h| {
            for figure in &sheet.figures {
                h.tag("div", &[], |h| {
                    h.words("dt", "", &figure.name);
                    h.words("dd", "", &figure.definition);
                });
            }
        });
        if !sheet.assumed.is_empty() {
            h.words("h3", "", "Assumed, because it was not stated");
            h.tag("ul", &[("class", "definition")], |h| {
                for words in &sheet.assumed {
                    h.words("li", "", words);
                }
            });
        }
    });
}

/// What the checks found, before anything is bought or soldered.
pub(crate) fn notices(h: &mut Html, sheet: &BuildSheet) {
    if sheet.notices.is_empty() {
        return;
    }
    section(h, ("notices", ""), "Before you build it", |h| {
        h.tag("div", &[("class", "notices")], |h| {
            for notice in &sheet.notices {
                entry(h, notice);
            }
        });
    });
}

fn entry(h: &mut Html, notice: &Notice) {
    let (class, word) = match notice.severity {
        Severity::Problem => ("notice problem", "Problem"),
        Severity::Caution => ("notice caution", "Caution"),
        Severity::Note => ("notice note", "Note"),
    };
    h.tag("div", &[("class", class)], |h| {
        h.tag("p", &[], |h| {
            h.words("strong", "", &format!("{word}: "));
            h.text(&notice.text);
        });
        for (lead, words) in [("Why: ", &notice.why), ("Do: ", &notice.advice)] {
            if !words.is_empty() {
                h.words("p", "soft", &format!("{lead}{words}"));
            }
        }
    });
}

/// The schematic, with what its symbols mean.
pub(crate) fn schematic_section(h: &mut Html, sheet: &BuildSheet) {
    let drawn = |width: f64| {
        let style = SchematicStyle {
            symbols: sheet.symbols,
            width,
            test_points: sheet
                .test_points
                .iter()
                .map(|t| (t.node, t.name.clone()))
                .collect(),
        };
        schematic(&sheet.circuit, &style).drawing
    };
    section(h, ("schematic", ""), "Schematic", |h| {
        h.tag("figure", &[("class", "circuit")], |h| {
            h.tag("div", &[("class", "roomy")], |h| {
                for piece in drawn(PAPER).split(TALLEST) {
                    h.tag("div", &[("class", "piece")], |h| h.drawing(&piece));
                }
            });
            h.tag("div", &[("class", "slim")], |h| h.drawing(&drawn(PHONE)));
            h.words("figcaption", "", &legend(sheet));
        });
    });
}

/// What the symbols mean, for those that occur.
fn legend(sheet: &BuildSheet) -> String {
    let circuit = &sheet.circuit;
    let mut words = String::from(
        "An open triangle is 0 V, not chassis or earth. A bar with a name joins every other \
         bar of that name; a dot joins wires, a crossing without one does not.",
    );
    if let Some(supply) = &circuit.supply {
        words += &format!(" vcc is the supply, {}.", supply.voltage);
    }
    if circuit.source.0 > 0.0 {
        words += &format!(" The input is driven from {}.", circuit.source);
    }
    if let Some(load) = circuit.load {
        words += &format!(" The output works into {load}.");
    }
    let dual = circuit.parts.iter().any(|p| match &p.element {
        circuit::Element::Opamp(a) => a.model.pinout.amplifiers > 1,
        _ => false,
    });
    if dual {
        words += " Amplifiers whose references differ in the last letter share a package.";
    }
    words
}

/// The charts, each drawn for a wide screen and again for a narrow one; the narrow ones
/// stand side by side on paper.
pub(crate) fn charts(h: &mut Html, sheet: &BuildSheet) {
    if sheet.response.is_none() && sheet.tail.is_none() {
        return;
    }
    section(h, ("charts", ""), "What to expect from it", |h| {
        h.tag("div", &[("class", "charts")], |h| chart_pair(h, sheet));
    });
}

fn chart_pair(h: &mut Html, sheet: &BuildSheet) {
    if let Some(chart) = &sheet.response {
        let words = "Response: gain from the open-circuit source to the output. Shaded: the width \
                     6 dB down. The curve must pass under each bar with an arrow, a neighbour.";
        pair(h, words, |w, t| response_drawing(chart, w, t));
    }
    if let Some(chart) = &sheet.tail {
        let words = "Tail: a settled tone at the pitch is cut off at 0 ms. Shaded: one dit.";
        pair(h, words, |w, t| tail_drawing(chart, w, t));
    }
}

/// One chart, for a wide screen and for a narrow one.
pub(crate) fn pair(h: &mut Html, words: &str, draw: impl Fn(f64, f64) -> Drawing) {
    h.tag("figure", &[], |h| {
        h.tag("div", &[("class", "wide")], |h| {
            h.drawing(&draw(PAPER, 74.0))
        });
        h.tag("div", &[("class", "narrow")], |h| {
            h.drawing(&draw(PHONE, 76.0));
        });
        h.words("figcaption", "", words);
    });
}
