//! A capacitor a thousand times too small or too large.
//!
//! Checks, where the circuit passes nothing near the pitch, every capacitor against the
//! resistors it meets: a corner `1/(2πRC)` some octaves off that a factor of 1000 brings to
//! the pitch. Why: nF and pF are easily taken for each other. Do: measure the part.
//! Source: closed form; the slip is common practice among slips.

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::{Circuit, Element, NodeId};
use std::f64::consts::TAU;
use units::{Farads, Quantity};

/// How far the peak must be from the pitch for the circuit to count as dead there.
const DEAD: f64 = 4.0;
/// Distance of a corner from the pitch that is no slip, and one that is.
const AT_HOME: f64 = 6.0;
const ASTRAY: f64 = 60.0;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let pitch = e.wishes.pitch.si();
    let peak = e.report.response.peak_hz;
    if peak > pitch / DEAD && peak < pitch * DEAD {
        return Vec::new();
    }
    let parts = e.circuit.parts.iter();
    parts
        .filter_map(|part| {
            let Element::Capacitor { value, between, .. } = &part.element else {
                return None;
            };
            let meant = meant(e.circuit, value.si(), *between, pitch)?;
            Some(finding(&part.reference, *value, Farads(meant)))
        })
        .collect()
}

/// The value a factor of 1000 away that brings the corner home, if this one is astray.
fn meant(circuit: &Circuit, farads: f64, between: [NodeId; 2], pitch: f64) -> Option<f64> {
    let ohms = met(circuit, between)?;
    let corner = |c: f64| 1.0 / (TAU * ohms * c) / pitch;
    let off = corner(farads);
    let meant = if off > ASTRAY {
        1e3 * farads
    } else if off < 1.0 / ASTRAY {
        1e-3 * farads
    } else {
        return None;
    };
    (1.0 / AT_HOME..=AT_HOME)
        .contains(&corner(meant))
        .then_some(meant)
}

/// Geometric mean of the resistors at the capacitor's ends, those on a rail's side left out.
fn met(circuit: &Circuit, between: [NodeId; 2]) -> Option<f64> {
    let rail = |node: NodeId| node == NodeId::GROUND || circuit.node_name(node) == "vcc";
    let logs: Vec<f64> = circuit
        .parts
        .iter()
        .filter_map(|p| match &p.element {
            Element::Resistor {
                value,
                between: ends,
            } => {
                let touches = ends.iter().any(|n| between.contains(n) && !rail(*n));
                touches.then(|| value.si().ln())
            }
            _ => None,
        })
        .collect();
    (!logs.is_empty()).then(|| (logs.iter().sum::<f64>() / logs.len() as f64).exp())
}

fn finding(reference: &str, value: Farads, meant: Farads) -> Finding {
    Finding {
        id: "slipped_prefix",
        severity: Severity::Problem,
        text: format!("{reference} is {value}; with the resistors beside it {meant} would make a corner near the pitch"),
        why: "nanofarads and picofarads are easily taken for each other, and a thousandfold slip tunes the box out of hearing".to_owned(),
        remedy: format!("measure {reference} or read its code again; fit {meant} if the arithmetic says so"),
        source: "corner 1/(2πRC); a slip of a prefix is a common one (common practice)",
    }
}
