//! Clips before the strongest signal.
//!
//! Checks, on the lowest supply, the source voltage at which the first amplifier reaches
//! its swing: for the strongest signal at the neighbours, and for the comfortable one at
//! the pitch with 6 dB in reserve; the driver's output current limits too. Why: clipping ahead of the filter's end makes products
//! that no filter removes; at the pitch the last amplifier may limit, which spares the ears.
//! Do: attenuate at the input and make the gain up at the end, or raise the supply.
//! Source: op-amp output swing from the parts data; level plan common practice.

use super::Evidence;
use crate::driver::Driver;
use crate::finding::{Finding, Severity};
use circuit::dc::DcFinding;
use std::f64::consts::SQRT_2;
use units::{Quantity, Volts};

/// Reserve over the comfortable signal at the pitch (common practice: 6 dB).
const RESERVE: f64 = 2.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    // An amplifier stuck at a rail has no swing at all: `at_rest` tells that.
    let stuck = |f: &DcFinding| matches!(f, DcFinding::Stuck { .. } | DcFinding::Latched { .. });
    if e.rest.findings.iter().any(stuck) {
        return Vec::new();
    }
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
    let at_pitch = clip.at_pitch.map(|by_swing| limited(e, by_swing));
    if let (Some(signal), Some((limit, cause))) = (e.wishes.signal, at_pitch) {
        let rms = limit / SQRT_2;
        let words = format!(
            "a tone at the pitch clips from {:.3} rms at the source{cause}; a comfortable signal is {signal}",
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

/// The least source voltage (V peak) at which swing, or the current into the load, ends a
/// tone at the pitch; and words for the latter.
fn limited(e: &Evidence<'_>, by_swing: f64) -> (f64, String) {
    let gain = 10f64.powf(e.report.response.gain_at_pitch_db / 20.0);
    let driver = Driver::of(e.circuit).zip(e.circuit.load);
    driver
        .map(|(d, load)| (d.reach.si() * load.si() / gain, d))
        .filter(|(by_current, _)| *by_current < by_swing)
        .map_or((by_swing, String::new()), |(by_current, d)| {
            let words = format!(", where {} can give no more current", d.names);
            (by_current, words)
        })
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
