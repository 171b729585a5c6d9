//! Much wider than wished.
//!
//! Checks the 6 dB width against the wish. Why: what was asked for is a least width, and a
//! wider filter rings less, but lets in more of the band. Do: choose a narrower design.
//! Source: the wish in the file.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::Quantity;

/// Ratio to the wish from which the difference is worth a word (common practice: half an octave).
const SHOWS: f64 = 1.4;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let (Some(width), Some(wished)) = (
        e.report.response.width_6db_hz,
        e.wishes.width.map(Quantity::si),
    ) else {
        return Vec::new();
    };
    if width <= SHOWS * wished {
        return Vec::new();
    }
    vec![Finding {
        id: "wider_than_asked",
        severity: Severity::Note,
        text: format!(
            "the filter is {width:.0} Hz wide 6 dB down; asked for {wished:.0} Hz or more"
        ),
        why: "the wider filter rings less and is easier to tune, and lets more of the band through"
            .to_owned(),
        remedy:
            "where that is too much, take a narrower design, or name a neighbour nearer the pitch"
                .to_owned(),
        source: "the wish in the file",
    }]
}
