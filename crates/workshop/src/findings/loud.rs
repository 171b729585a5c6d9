//! How loud it gets in the phones.
//!
//! Checks the comfortable signal and the rail-limited output against safe-listening
//! guidance. Why: a static crash or an unplugged aerial can drive the box to its rails.
//! Do: less gain, more series resistance or a limiter.
//! Source: NIOSH 98-126, 85 dBA for 8 h with 3 dB exchange.

use super::Evidence;
use crate::finding::{Finding, Severity};

/// Guidance level, and the level from which the safe time is under half a minute.
const GUIDANCE_DB: f64 = 85.0;
const DANGEROUS_DB: f64 = 115.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(loudest) = e.report.listener.loudest_spl_db else {
        return Vec::new();
    };
    if loudest <= GUIDANCE_DB {
        return Vec::new();
    }
    let comfortable = e.report.listener.comfortable_spl_db;
    let always = comfortable.is_some_and(|level| level > GUIDANCE_DB);
    let worn = comfortable.map_or(String::new(), |level| {
        if always {
            format!(
                "; the signal called comfortable makes {level:.0} dB, for which it allows {}",
                a_day(level)
            )
        } else {
            format!("; a comfortable signal makes {level:.0} dB")
        }
    });
    vec![Finding {
        id: "loud",
        severity: if loudest > DANGEROUS_DB { Severity::Problem } else { Severity::Caution },
        text: format!(
            "at its limits the box makes about {loudest:.0} dB SPL in these phones, for which guidance allows {} a day{worn}",
            a_day(loudest)
        ),
        why: "static, a click or a strong station can drive it there without warning; hearing does not come back".to_owned(),
        remedy: format!(
            "{}raise the resistance in series with the phones or fit a limiter; start with the volume down and the phones off the ears",
            if always { "ask for less gain, or turn the receiver down; " } else { "" }
        ),
        source: "NIOSH 98-126 [NIOSH]: 85 dBA for 8 h, 3 dB exchange; phones' stated sensitivity, ±10 dB from pair to pair",
    }]
}

/// The time that guidance allows at a level, in words: 8 h at 85 dB, halved every 3 dB.
fn a_day(level: f64) -> String {
    let minutes = 480.0 / 2f64.powf((level - GUIDANCE_DB) / 3.0);
    let (count, unit) = if minutes >= 90.0 {
        (minutes / 60.0, "hour")
    } else if minutes >= 1.5 {
        (minutes, "minute")
    } else {
        ((60.0 * minutes).max(1.0), "second")
    };
    let count = count.round();
    let ending = if count > 1.0 { "s" } else { "" };
    format!("{count:.0} {unit}{ending}")
}

#[cfg(test)]
mod tests {
    //! Order of trust: published table of the guidance [NIOSH].
    use super::*;

    #[test]
    fn the_times_are_those_of_the_guidance() {
        // NIOSH 98-126, table 1-1: 85 dBA 8 h, 88 4 h, 91 2 h, 100 15 min, 115 28 s.
        for (level, time) in [
            (85.0, "8 hours"),
            (88.0, "4 hours"),
            (91.0, "2 hours"),
            (100.0, "15 minutes"),
            (115.0, "28 seconds"),
        ] {
            assert_eq!(a_day(level), time);
        }
    }
}
