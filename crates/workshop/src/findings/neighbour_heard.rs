//! A neighbour is not down enough.
//!
//! Checks every neighbour against the attenuation asked for. Why: what is not down by
//! that much is still heard beside the wanted signal. Do: more stages or less width.
//! Source: the user's own wish; 10 dB down is faint, 30 dB barely audible (common practice).

use super::Evidence;
use crate::finding::{Finding, Severity};
use crate::slack::NEIGHBOUR_DB;

/// Shortfall, dB, from which the miss is a problem and not a rounding of parts.
const PLAIN_DB: f64 = 3.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for n in &e.report.neighbours {
        let Some(wanted) = n.wanted_db else { continue };
        let short = wanted - n.down_db;
        if short <= NEIGHBOUR_DB {
            continue;
        }
        found.push(Finding {
            id: "neighbour_heard",
            severity: if short > PLAIN_DB {
                Severity::Problem
            } else {
                Severity::Caution
            },
            text: format!(
                "a neighbour at {:+.0} Hz is {:.1} dB {}, asked for {wanted:.1} dB down",
                n.offset_hz,
                n.down_db.abs(),
                if n.down_db < 0.0 {
                    "louder than the pitch"
                } else {
                    "down"
                }
            ),
            why:
                "it stays audible beside the wanted signal; 10 dB down is faint, 30 dB barely heard"
                    .to_owned(),
            remedy: "allow one more stage, a narrower width or a longer tail, or ask for less"
                .to_owned(),
            source: "the wish in the file; audibility is common practice",
        });
    }
    found
}
