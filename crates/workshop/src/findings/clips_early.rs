//! Clips before the strongest signal.
//!
//! Checks, on the lowest supply, the source voltage at which the first amplifier reaches
//! its swing: for the strongest signal at the neighbours, and for the comfortable one at
//! the pitch with 6 dB in reserve. Why: clipping ahead of the filter's end makes products
//! that no filter removes; at the pitch the last amplifier may limit, which spares the ears.
//! Do: attenuate at the input and make the gain up at the end, or raise the supply.
//! Source: op-amp output swing from the parts data; level plan common practice.

use super::Evidence;
use crate::finding::{Finding, Severity};
use std::f64::consts::SQRT_2;
use units::{Quantity, Volts};

/// Reserve over the comfortable signal at the pitch (common practice: 6 dB).
const RESERVE: f64 = 2.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let clip = &e.report.levels.clips_at_input_v_peak;
    let mut found = Vec::new();
    if let (Some(strongest), Some(limit)) = (e.wishes.strongest, clip.at_neighbours)
        && limit < SQRT_2 * strongest.si()
    {
        found.push(finding(
            Severity::Problem,
            format!(
                "a neighbour clips an amplifier from {:.3} rms at the source; the strongest signal is {strongest}",
                Volts(limit / SQRT_2)
            ),
            "an overdriven stage makes new tones inside the passband, and no filter removes those",
        ));
    }
    if let (Some(signal), Some(limit)) = (e.wishes.signal, clip.at_pitch) {
        let rms = limit / SQRT_2;
        let words = format!(
            "a tone at the pitch clips from {:.3} rms; a comfortable signal is {signal}",
            Volts(rms)
        );
        if rms < RESERVE * signal.si() {
            let severity = if rms < signal.si() {
                Severity::Problem
            } else {
                Severity::Caution
            };
            found.push(finding(
                severity,
                words,
                "a comfortable signal with no reserve distorts on every peak",
            ));
        } else if e.wishes.strongest.is_some_and(|s| rms < s.si()) {
            found.push(Finding {
                remedy: "nothing, if that suits; it spares the ears. Otherwise ask for less gain"
                    .to_owned(),
                ..finding(
                    Severity::Note,
                    words,
                    "louder signals at the pitch are limited by the box",
                )
            });
        }
    }
    found
}

fn finding(severity: Severity, text: String, why: &str) -> Finding {
    Finding {
        id: "clips_early",
        severity,
        text,
        why: why.to_owned(),
        remedy: "put more attenuation ahead of the first stage, use op-amps that swing nearer the rails, or a higher supply".to_owned(),
        source: "output swing from the parts data; level plan common practice",
    }
}
