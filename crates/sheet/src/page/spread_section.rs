//! What real parts do to the design: how many boxes are good, how they scatter, what helps.

use super::design_section::pair;
use super::html::Html;
use super::write::{heading, section};
use crate::{BandChart, CountChart, band_drawing, count_drawing};

/// One thing to do about it.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadAdvice {
    /// Share of good boxes then, in words: `97 %`.
    pub good: String,
    /// Where nine centres in ten lie then: `690 to 712 Hz`; may be empty.
    pub centre: String,
    /// What to do.
    pub text: String,
}

/// The section's contents.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreadSummary {
    /// How many boxes are good, and how sure that is, in a sentence.
    pub good: String,
    /// What a good box keeps, each with how many miss it.
    pub limits: Vec<String>,
    /// The response over the builds.
    pub curve: BandChart,
    /// The builds by their centre, where they have one.
    pub centres: Option<CountChart>,
    /// What to do about it, best first.
    pub advice: Vec<SpreadAdvice>,
    /// What was assumed about the parts, in words.
    pub assumed: Vec<String>,
}

/// The section, where the sheet has one.
pub(crate) fn spread(h: &mut Html, summary: Option<&SpreadSummary>) {
    let Some(summary) = summary else {
        return;
    };
    section(h, ("spread", ""), "What real parts do to it", |h| {
        h.tag("div", &[("class", "lead")], |h| {
            h.words("p", "", &summary.good);
            h.words("p", "soft", "A good box keeps:");
            list(h, &summary.limits);
        });
        h.tag("div", &[("class", "charts")], |h| charts(h, summary));
        advice(h, &summary.advice);
        h.words("p", "soft", "Assumed of the parts:");
        list(h, &summary.assumed);
    });
}

fn list(h: &mut Html, lines: &[String]) {
    h.tag("ul", &[("class", "definition lines")], |h| {
        for words in lines {
            h.words("li", "", words);
        }
    });
}

fn charts(h: &mut Html, summary: &SpreadSummary) {
    let words = "Response: the printed values as a line; nine builds in ten lie in the grey band. \
                 It should pass under each bar with an arrow, a neighbour.";
    pair(h, words, |w, t| band_drawing(&summary.curve, w, t));
    if let Some(centres) = &summary.centres {
        let words = "Builds by the centre of their half-power band. Shaded: nine in ten.";
        pair(h, words, |w, t| count_drawing(centres, w, t));
    }
}

fn advice(h: &mut Html, list: &[SpreadAdvice]) {
    if list.is_empty() {
        return;
    }
    h.tag("table", &[("class", "tight")], |h| {
        let cells = [
            ("n", "Good boxes"),
            ("n", "Nine centres in ten"),
            ("free", "What brings it, best first"),
        ];
        heading(h, &cells);
        h.tag("tbody", &[], |h| {
            for line in list {
                h.tag("tr", &[], |h| {
                    h.words("td", "n", &line.good);
                    h.words("td", "n", &line.centre);
                    h.words("td", "free", &line.text);
                });
            }
        });
    });
}
