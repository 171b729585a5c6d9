//! The loudest sound into the phones.
//!
//! Checks the rail-limited output against safe-listening guidance. Why: a static crash or
//! an unplugged aerial can drive the box to its rails. Do: more series resistance or a limiter.
//! Source: NIOSH 98-126, 85 dBA for 8 h with 3 dB exchange.

use super::Evidence;
use crate::finding::{Finding, Severity};

/// Guidance level, and the level from which the safe time is under half a minute.
const GUIDANCE_DB: f64 = 85.0;
const DANGEROUS_DB: f64 = 115.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(spl) = e.report.listener.loudest_spl_db else {
        return Vec::new();
    };
    if spl <= GUIDANCE_DB {
        return Vec::new();
    }
    let minutes = 480.0 / 2f64.powf((spl - GUIDANCE_DB) / 3.0);
    let safe = if minutes >= 1.0 {
        format!("{minutes:.0} minutes")
    } else {
        format!("{:.0} seconds", (60.0 * minutes).max(1.0))
    };
    vec![Finding {
        id: "loud",
        severity: if spl > DANGEROUS_DB { Severity::Problem } else { Severity::Caution },
        text: format!("at its rails the box makes about {spl:.0} dB SPL in these phones; guidance allows {safe} a day"),
        why: "static, a click or a strong station can drive it there without warning; hearing does not come back".to_owned(),
        remedy: "raise the resistance in series with the phones or fit a limiter; start with the volume down and the phones off the ears".to_owned(),
        source: "NIOSH 98-126 [NIOSH]: 85 dBA for 8 h, 3 dB exchange; phones' stated sensitivity, ±10 dB from pair to pair",
    }]
}
