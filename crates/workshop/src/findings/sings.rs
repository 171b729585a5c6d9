//! Oscillates, or would with another sample of its op-amps.
//!
//! Checks that every pole lies in the left half plane as drawn, and with every op-amp's
//! gain-bandwidth halved and doubled. Why: an oscillating stage is a tone, or a supersonic
//! whistle that heats and distorts; it is not ringing, which dies out. Do: another way to
//! build the stage, or isolate what loads the output. Source: poles of this circuit;
//! samples differ by about two to one (common practice).

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::poles::{Root, poles};
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::{Circuit, Element};
use units::Hertz;

/// Id of the finding, by which a plan refuses a circuit.
pub(crate) const ID: &str = "sings";

/// What samples of a type may have of the typical gain-bandwidth.
const SAMPLES: [(f64, &str); 2] = [(2.0, "twice"), (0.5, "half")];

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    let growing = e.report.poles.iter().find(|p| p.re_rad_s >= 0.0);
    if let Some(pole) = growing {
        let text = format!("the circuit oscillates near {:.3}", Hertz(pole.f_hz));
        return vec![finding(Severity::Problem, text)];
    }
    SAMPLES
        .into_iter()
        .filter_map(|(factor, words)| {
            let poles = poles_with(&with_speed(e.circuit, factor))?;
            let pole = poles.into_iter().find(|p| p.re_rad_s >= 0.0)?;
            let text = format!(
                "with op-amps {words} as fast as typical it would oscillate near {:.3}",
                Hertz(pole.f_hz)
            );
            Some(finding(Severity::Caution, text))
        })
        .take(1)
        .collect()
}

/// The poles of a circuit, where they can be found.
pub(super) fn poles_with(circuit: &Circuit) -> Option<Vec<Root>> {
    let system = System::build(circuit).ok()?;
    let space = StateSpace::reduce(&system).ok()?;
    poles(&space).ok()
}

/// The circuit with every op-amp's gain-bandwidth multiplied.
pub(super) fn with_speed(circuit: &Circuit, factor: f64) -> Circuit {
    let mut other = circuit.clone();
    for part in &mut other.parts {
        if let Element::Opamp(opamp) = &mut part.element {
            opamp.model.gain_bandwidth.0 *= factor;
        }
    }
    other
}

fn finding(severity: Severity, text: String) -> Finding {
    Finding {
        id: ID,
        severity,
        text,
        why: "an oscillating stage is a tone or a supersonic whistle that heats and distorts; unlike ringing it never dies out".to_owned(),
        remedy: "build the stage in another way, put 47 Ω to 100 Ω between an output and what loads it, or use a slower op-amp".to_owned(),
        source: "poles of this circuit; samples differ by about two to one (common practice)",
    }
}
