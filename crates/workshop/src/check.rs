//! `check`: everything about one circuit.

use crate::examine::examine;
use crate::refusal::Refusal;
use crate::report::CheckReport;
use crate::wishes::{Stated, Wishes};
use circuit::figures::Study;
use circuit::system::System;
use circuit::validate::{Severity, faults};
use circuit::{Circuit, ReadCircuit, read_in_place};
use document::Complaints;
use units::{Hertz, Quantity, Wpm};

pub use filter::need::{PITCHES, SPEEDS};

/// What to check, and what to hold it against.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRequest {
    /// Name of the circuit file, for complaints.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The pitch, where the file's own is not meant.
    pub pitch: Option<Hertz>,
    /// The speed, where the file's own is not meant.
    pub speed: Option<Wpm>,
    /// The frequencies to tabulate; left out, enough to draw the response by.
    pub at: Option<Vec<Hertz>>,
}

/// Checks one circuit.
///
/// # Errors
/// Complaints about the text, or why the circuit cannot be analysed.
pub fn check(request: &CheckRequest) -> Result<CheckReport, Refusal> {
    let (circuit, wishes) =
        read_with_wishes(&request.name, &request.text, request.pitch, request.speed)?;
    let at: Option<Vec<f64>> = request
        .at
        .as_ref()
        .map(|list| list.iter().map(|f| f.si()).collect());
    examine(&circuit, &wishes, at.as_deref()).map_err(Refusal::Circuit)
}

/// A circuit file as a circuit and what it is held against.
pub(crate) fn read_with_wishes(
    name: &str,
    text: &str,
    pitch: Option<Hertz>,
    speed: Option<Wpm>,
) -> Result<(Circuit, Wishes), Refusal> {
    let ReadCircuit { circuit, places } = read_in_place(name, text)?;
    let mut complaints = Complaints::new(name, text);
    for fault in faults(&circuit) {
        if fault.severity == Severity::Problem {
            complaints.push(fault.complaint(&places));
        }
    }
    if !complaints.is_empty() {
        return Err(complaints.into());
    }
    let stated = Stated::read(name, text)?;
    let wishes = stated.complete(pitch, speed, || own_peak(&circuit));
    Ok((circuit, wishes))
}

/// The circuit's own peak; 700 Hz for one that cannot be analysed, which is told later.
fn own_peak(circuit: &Circuit) -> Hertz {
    let peak = System::build(circuit).ok().and_then(|system| {
        let mut study = Study::new(circuit, &system).ok()?;
        Some(study.response(700.0, &[]).peak_hz)
    });
    Hertz(peak.unwrap_or(700.0))
}
