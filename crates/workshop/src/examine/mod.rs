//! One circuit held against wishes: every analysis once, gathered into the report.

mod levels;
mod rest;
mod signal;

use crate::findings::{self, Evidence};
use crate::report::CheckReport;
use crate::wishes::Wishes;
use circuit::Circuit;
use circuit::dc::operating_point;
use circuit::figures::Study;
use circuit::system::System;
use levels::{levels, listener};
use rest::{dc, supply};
use signal::{neighbours, noise, response, ringing, root, shares};
use units::Quantity;

/// Examines a circuit; `at_hz` are the frequencies to tabulate.
///
/// # Errors
/// A sentence that says why the circuit cannot be analysed and what to mend.
pub(crate) fn examine(
    circuit: &Circuit,
    wishes: &Wishes,
    at_hz: Option<&[f64]>,
) -> Result<CheckReport, String> {
    let rest = operating_point(circuit).map_err(|e| e.to_string())?;
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let mut study = Study::new(circuit, &system).map_err(|e| e.to_string())?;
    let pitch = wishes.pitch.si();
    let neighbours = neighbours(&mut study, wishes);
    let sensitivities = study.sensitivities(pitch);
    let centre_sensitivity: Vec<f64> = (0..circuit.parts.len())
        .map(|k| sensitivities.of(k).and_then(|s| s.centre).unwrap_or(0.0))
        .collect();
    let mut report = CheckReport {
        format: "narrows check 1",
        title: circuit.title.clone(),
        pitch_hz: pitch,
        assumed: wishes.assumed.clone(),
        response: response(&mut study, pitch, at_hz),
        ringing: ringing(&mut study, wishes),
        neighbours,
        poles: study.poles().iter().map(root).collect(),
        zeros: study
            .zeros()
            .map_err(|e| e.to_string())?
            .iter()
            .map(root)
            .collect(),
        noise: noise(&mut study, pitch),
        levels: levels(&mut study, wishes, &rest)?,
        supply: supply(circuit, &rest),
        dc: dc(circuit, &rest),
        listener: listener(&mut study, wishes),
        sensitivities: shares(circuit, &sensitivities),
        findings: Vec::new(),
    };
    let evidence = Evidence {
        circuit,
        wishes,
        report: &report,
        centre_sensitivity: &centre_sensitivity,
        rest: &rest,
    };
    report.findings = findings::all(&evidence);
    Ok(report)
}
