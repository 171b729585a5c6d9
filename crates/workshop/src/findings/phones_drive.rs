//! Drives phones from an op-amp that cannot.
//!
//! Checks the peak current that twice the comfortable signal asks against the output
//! current of the op-amps that drive it. Why: a current-limited op-amp sounds quiet and
//! rough. What is louder than that is limited anyway, and `clips_early` says where.
//! Do: a driver that can, or more series resistance. Source: parts data; common practice.

use super::Evidence;
use crate::driver::Driver;
use crate::finding::{Finding, Severity};
use std::f64::consts::SQRT_2;
use units::{Amperes, Quantity};

/// Reserve over the comfortable signal (common practice: 6 dB).
const RESERVE: f64 = 2.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let (Some(load), Some(signal)) = (e.circuit.load, e.wishes.signal) else {
        return Vec::new();
    };
    let Some(driver) = Driver::of(e.circuit) else {
        return Vec::new();
    };
    let reach = driver.reach.si();
    let gain = 10f64.powf(e.report.response.gain_at_pitch_db / 20.0);
    let comfortable = signal.si() * SQRT_2 * gain / load.si();
    let (severity, amount, which) = if comfortable > reach {
        (Severity::Problem, comfortable, "a comfortable signal")
    } else if RESERVE * comfortable > reach {
        let twice = RESERVE * comfortable;
        (Severity::Caution, twice, "twice the comfortable signal")
    } else {
        return Vec::new();
    };
    vec![Finding {
        id: "phones_drive",
        severity,
        text: format!(
            "{which} asks {:.3} peak of {}, which can give {:.3}, into a load of {load}",
            Amperes(amount),
            driver.names,
            Amperes(reach)
        ),
        why: "an op-amp at its current limit sounds quiet and rough".to_owned(),
        remedy: if e.wishes.line {
            "ask for less gain, use an op-amp with more output current, or feed an input of higher impedance"
        } else {
            "ask for less gain, put more resistance in series with the phones, use a driver made for them, or phones of higher impedance"
        }
        .to_owned(),
        source: "output current from the parts data; common practice",
    }]
}
