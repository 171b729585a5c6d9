//! Rings at this speed.
//!
//! Checks the −20 dB tail against the dit. Why: a tail fills the gap between dits and
//! smears fast sending. Up to a quarter of a dit is not noticed, over half is plain.
//! Do: widen, use fewer or lower-Q stages, or a calm design.
//! Source: common practice (a quarter and a half of a dit, to be checked by ear).

use super::Evidence;
use crate::finding::{Finding, Severity};
use crate::slack::TAIL;
use units::{Quantity, Seconds};

/// Shares of a dit above which the tail is doubtful, and wrong.
const DOUBTFUL: f64 = 0.25;
const PLAIN: f64 = 0.5;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let (Some(tail), Some(dits)) = (
        e.report.ringing.tail_20db_s,
        e.report.ringing.tail_20db_dits,
    ) else {
        return Vec::new();
    };
    let over_wish = e.wishes.tail.filter(|t| tail > t.si() * (1.0 + TAIL));
    let severity = if dits > PLAIN || over_wish.is_some_and(|t| tail > 1.25 * t.si()) {
        Severity::Problem
    } else if dits > DOUBTFUL || over_wish.is_some() {
        Severity::Caution
    } else {
        return Vec::new();
    };
    let wish = over_wish.map_or(String::new(), |t| format!(", asked for at most {t}"));
    vec![Finding {
        id: "rings",
        severity,
        text: format!(
            "the tail lasts {:.3} to 20 dB down, {dits:.2} dit at {}{wish}",
            Seconds(tail),
            e.wishes.speed
        ),
        why: "a tail fills the gap between dits; over a quarter of a dit is heard, over half smears copy"
            .to_owned(),
        remedy: "widen the filter, use fewer or lower-Q stages, or plan a calm design for this width"
            .to_owned(),
        source: "common practice",
    }]
}
