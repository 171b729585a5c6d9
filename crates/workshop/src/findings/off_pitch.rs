//! Tuned beside the pitch.
//!
//! Checks the gain at the pitch against the peak. Why: the wanted signal sits on the
//! skirt. Do: retune, by so much and in which direction. Source: the circuit's own response.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::{Hertz, Quantity};

/// Loss at the pitch that is worth a word, and that is wrong, dB.
const TOLD_DB: f64 = 1.0;
const WRONG_DB: f64 = 3.0;
/// Ratio of centre and pitch that no tolerance of parts explains.
const FAR: f64 = 1.6;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let r = &e.report.response;
    let loss = r.peak_db - r.gain_at_pitch_db;
    if loss <= TOLD_DB {
        return Vec::new();
    }
    let tuned = r.centre_hz.unwrap_or(r.peak_hz);
    let pitch = e.wishes.pitch.si();
    let way = if tuned > pitch { "down" } else { "up" };
    let far = tuned > FAR * pitch || tuned < pitch / FAR;
    vec![Finding {
        id: "off_pitch",
        severity: if loss > WRONG_DB {
            Severity::Problem
        } else {
            Severity::Caution
        },
        text: format!(
            "the filter is {} at {:.3}; the pitch of {pitch:.0} Hz is {loss:.1} dB below its peak",
            if r.centre_hz.is_some() {
                "centred"
            } else {
                "loudest"
            },
            Hertz(tuned.round())
        ),
        why: "the wanted signal sits on the skirt, weaker than its neighbour".to_owned(),
        remedy: if far {
            "this is no matter of trimming: look for a value ten or a thousand times off, two parts exchanged, or one missing".to_owned()
        } else {
            format!(
                "retune the filter {way} by {:.0} Hz, or listen at {tuned:.0} Hz if the radio's offset allows",
                (tuned - pitch).abs()
            )
        },
        source: "the circuit's own response",
    }]
}
