//! Drives phones from an op-amp that cannot.
//!
//! Checks the peak current into the load for the comfortable and the strongest signal
//! against the op-amp's output current. Why: a current-limited op-amp sounds quiet and
//! rough. Do: a driver that can, or more series resistance. Source: parts data; common practice.

use super::Evidence;
use crate::driver::Driver;
use crate::finding::{Finding, Severity};
use units::{Amperes, Quantity};

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let Some(load) = e.circuit.load else {
        return Vec::new();
    };
    let Some(driver) = Driver::of(e.circuit) else {
        return Vec::new();
    };
    let reach = driver.reach.si();
    let gain = 10f64.powf(e.report.response.gain_at_pitch_db / 20.0);
    let peak = |rms: f64| rms * std::f64::consts::SQRT_2 * gain / load.si();
    let signal = e.wishes.signal.map(|v| peak(v.si()));
    let strongest = e.wishes.strongest.map(|v| peak(v.si()));
    let (severity, amount, which) = match (signal, strongest) {
        (Some(i), _) if i > reach => (Severity::Problem, i, "a comfortable"),
        (_, Some(i)) if i > reach => (Severity::Caution, i, "the strongest"),
        _ => return Vec::new(),
    };
    vec![Finding {
        id: "phones_drive",
        severity,
        text: format!(
            "{which} signal asks {} peak of {}, which can give {}, into a load of {load}",
            Amperes(amount),
            driver.names,
            Amperes(reach)
        ),
        why: "an op-amp at its current limit sounds quiet and rough".to_owned(),
        remedy: "put more resistance in series with the phones, use a driver made for them, or phones of higher impedance".to_owned(),
        source: "output current from the parts data; common practice",
    }]
}
