//! A hum harmonic under the pitch.
//!
//! Checks the pitch against the lines of full-wave rectifier hum, multiples of 100 Hz
//! and of 120 Hz. Why: a line at the pitch passes like a signal. Do: shift the pitch by
//! half the spacing where hum is a problem. Source: common practice.

use super::Evidence;
use crate::finding::{Finding, Severity};
use units::Quantity;

/// Nearer than this the line is heard as the signal's own pitch, Hz.
const NEAR_HZ: f64 = 12.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let pitch = e.wishes.pitch.si();
    let mut lines: Vec<(f64, Vec<&str>)> = Vec::new();
    for (spacing, mains) in [(100.0, "50 Hz"), (120.0, "60 Hz")] {
        let line = (pitch / spacing).round() * spacing;
        if (pitch - line).abs() >= NEAR_HZ || line <= 0.0 {
            continue;
        }
        match lines
            .iter_mut()
            .find(|(known, _)| (known - line).abs() < 1.0)
        {
            Some((_, of)) => of.push(mains),
            None => lines.push((line, vec![mains])),
        }
    }
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Finding {
        id: "hum_line",
        severity: Severity::Note,
        text: format!(
            "the pitch stands on a line of rectifier hum: {}",
            told(&lines)
        ),
        why: "hum that gets in ahead of the filter passes it like a signal there".to_owned(),
        remedy: "where hum is a problem choose a pitch between the lines, or run from a battery"
            .to_owned(),
        source: "common practice: rectifier hum lies at multiples of twice the mains frequency",
    }]
}

/// The lines, each with the mains it belongs to.
fn told(lines: &[(f64, Vec<&str>)]) -> String {
    let one = |(line, of): &(f64, Vec<&str>)| format!("{line:.0} Hz on {} mains", of.join(" and "));
    lines.iter().map(one).collect::<Vec<_>>().join(", ")
}
