//! One circuit held against wishes: every analysis once, gathered into the report.
//!
//! [`gist`] does the cheap part that `plan` ranks hundreds of circuits by; [`examine`] does
//! everything, and begins with the same.

mod levels;
mod rest;
mod signal;
mod withheld;

use crate::findings::{self, Evidence};
use crate::report::{CheckReport, Levels, Neighbour, Noise, Response, Ringing};
use crate::wishes::Wishes;
use circuit::Circuit;
use circuit::dc::{OperatingPoint, operating_point};
use circuit::figures::Study;
use circuit::system::System;
use levels::{levels, listener};
use rest::{dc, supply};
use signal::{neighbours, noise, response, ringing, root, shares};
use units::Quantity;
use withheld::withheld;

/// The figures that designs are ranked by, cheap beside the rest.
#[derive(Debug, Clone)]
pub(crate) struct Gist {
    /// Frequency response.
    pub(crate) response: Response,
    /// Ringing on a keyed tone.
    pub(crate) ringing: Ringing,
    /// How far each neighbour is down.
    pub(crate) neighbours: Vec<Neighbour>,
    /// Noise the circuit adds.
    pub(crate) noise: Noise,
    /// Levels inside.
    pub(crate) levels: Levels,
}

impl Gist {
    fn of(
        study: &mut Study<'_>,
        wishes: &Wishes,
        rest: &OperatingPoint,
        at_hz: Option<&[f64]>,
    ) -> Result<Self, String> {
        let pitch = wishes.pitch.si();
        Ok(Gist {
            response: response(study, pitch, at_hz),
            ringing: ringing(study, wishes),
            neighbours: neighbours(study, wishes),
            noise: noise(study, pitch),
            levels: levels(study, wishes, rest)?,
        })
    }
}

/// The gist of a circuit, without a table of its response.
///
/// # Errors
/// As [`examine`].
pub(crate) fn gist(circuit: &Circuit, wishes: &Wishes) -> Result<Gist, String> {
    let rest = operating_point(circuit).map_err(|e| e.to_string())?;
    if let Some(why) = withheld(circuit, &rest) {
        return Err(why);
    }
    let system = System::build(circuit).map_err(|e| e.to_string())?;
    let mut study = Study::new(circuit, &system).map_err(|e| e.to_string())?;
    Gist::of(&mut study, wishes, &rest, Some(&[]))
}

/// Says why the figures of signals do not describe the circuit, where they do not.
///
/// # Errors
/// A sentence that names the amplifier at fault, or says why there is no point of rest.
pub(crate) fn works_at_rest(circuit: &Circuit) -> Result<(), String> {
    let rest = operating_point(circuit).map_err(|e| e.to_string())?;
    withheld(circuit, &rest).map_or(Ok(()), |why| {
        Err(format!(
            "no spread is computed of a circuit that does not work: {why}; narrows check says what \
             is wrong at rest"
        ))
    })
}

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
    let gist = Gist::of(&mut study, wishes, &rest, at_hz)?;
    let sensitivities = study.sensitivities(wishes.pitch.si());
    let zeros = study.zeros().map_err(|e| e.to_string())?;
    let mut report = CheckReport {
        format: "narrows check 1",
        title: circuit.title.clone(),
        pitch_hz: wishes.pitch.si(),
        assumed: wishes.assumed.clone(),
        withheld: withheld(circuit, &rest),
        response: gist.response,
        ringing: gist.ringing,
        neighbours: gist.neighbours,
        poles: study.poles().iter().map(root).collect(),
        zeros: zeros.iter().map(root).collect(),
        noise: gist.noise,
        levels: gist.levels,
        supply: supply(circuit, &rest),
        dc: dc(circuit, &rest),
        listener: listener(&mut study, wishes),
        sensitivities: shares(circuit, &sensitivities),
        findings: Vec::new(),
    };
    let centre_sensitivity: Vec<f64> = (0..circuit.parts.len())
        .map(|k| sensitivities.of(k).and_then(|s| s.centre).unwrap_or(0.0))
        .collect();
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
