//! Nothing resonates near the pitch.
//!
//! Checks the sharpest pair of poles within two octaves of the pitch, unless they make a
//! filter of some width together. Why: a high-pass and a
//! low-pass corner, taken together for a band-pass, make a broad hump of Q under ½.
//! Do: use resonant stages. Source: real poles have Q of ½ at most (definition of Q).

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::Quantity;

/// A Q that a listener would not call a filter for one pitch (common practice).
const BLUNT: f64 = 1.0;
/// A width, as a share of the pitch, that stages of low Q together may well be meant to have.
const BROAD: f64 = 1.5;
/// How far from the pitch a pair of poles may stand to count.
const NEAR: f64 = 4.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let pitch = e.wishes.pitch.si();
    let near = |f: f64| f > pitch / NEAR && f < pitch * NEAR;
    let sharpest = e
        .report
        .poles
        .iter()
        .filter(|p| near(p.f_hz))
        .filter_map(|p| p.q)
        .fold(0.0, f64::max);
    let width = e.report.response.width_6db_hz;
    if sharpest >= BLUNT || width.is_some_and(|w| w < BROAD * pitch) {
        return Vec::new();
    }
    let broad = width.map_or(String::new(), |w| {
        format!("; it is {w:.0} Hz wide 6 dB down")
    });
    vec![Finding {
        id: "no_resonance",
        severity: Severity::Problem,
        text: if sharpest > 0.0 {
            format!("the sharpest resonance near the pitch has a Q of {sharpest:.1}{broad}")
        } else {
            format!("nothing in the circuit resonates near the pitch of {pitch:.0} Hz{broad}")
        },
        why: "a high-pass and a low-pass corner side by side make a broad hump, not a narrow filter"
            .to_owned(),
        remedy: "use resonant stages of Q 3 to 10 tuned to the pitch, as `narrows plan` makes them; in a resonant circuit look for a wrong value or a missing part"
            .to_owned(),
        source: "real poles have a Q of ½ at most; common practice",
    }]
}
