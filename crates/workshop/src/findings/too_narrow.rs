//! Narrower than wished, or than the speed needs.
//!
//! Checks the 6 dB width against the wish and against the necessary bandwidth with K = 3.
//! Why: keying softens and tuning becomes fussy. Do: widen. Source: ITU-R SM.1138, A1A: B·K.

use super::Evidence;
use crate::finding::{Finding, Severity};
use crate::slack::WIDTH;
use units::Quantity;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(width) = e.report.response.width_6db_hz else {
        return Vec::new();
    };
    let needed = 3.0 * e.wishes.speed.baud();
    let wished = e.wishes.width.map(Quantity::si);
    let (severity, against) = if width < needed {
        (
            Severity::Problem,
            format!("{} needs {needed:.0} Hz", e.wishes.speed),
        )
    } else if let Some(wished) = wished.filter(|w| width < (1.0 - WIDTH) * w) {
        (Severity::Caution, format!("asked for {wished:.0} Hz"))
    } else {
        return Vec::new();
    };
    vec![Finding {
        id: "too_narrow",
        severity,
        text: format!("the filter is {width:.0} Hz wide 6 dB down; {against}"),
        why: "too narrow a filter softens the keying, makes tuning fussy and hides callers who are a little off".to_owned(),
        remedy: "widen it, or slow down".to_owned(),
        source: "necessary bandwidth of A1A, B·K with K = 3 [SM1138]",
    }]
}
