//! Skirts of unequal steepness.
//!
//! Checks whether the −6 dB edges lie unequally about the pitch. Why: people take the
//! natural geometric shape for a mistuned filter. Do: nothing. Source: `f_lo f_hi = f0²`.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::Quantity;

/// Ratio of the two half widths from which the difference shows.
const SHOWS: f64 = 1.15;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some([lo, hi]) = e.report.response.edges_6db_hz else {
        return Vec::new();
    };
    let pitch = e.wishes.pitch.si();
    let (below, above) = (pitch - lo, hi - pitch);
    let natural = ((lo * hi).sqrt() / pitch - 1.0).abs() < 0.02;
    if below <= 0.0 || above / below < SHOWS || !natural {
        return Vec::new();
    }
    vec![Finding {
        id: "uneven_skirts",
        severity: Severity::Note,
        text: format!("the −6 dB edges lie {below:.0} Hz below and {above:.0} Hz above the pitch"),
        why: "a band-pass is symmetrical in frequency ratio, not in hertz: this is not a mistuned filter".to_owned(),
        remedy: "nothing; compare a measurement with the drawn response, not with a mirror image".to_owned(),
        source: "low-pass to band-pass transform: f_lo · f_hi = f0²",
    }]
}
