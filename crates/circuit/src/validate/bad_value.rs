//! A value no part has: negative, infinite or zero (a problem), or beyond what is sold
//! (a doubt). The ranges are those of parts a homebuilder can buy (common practice).

use units::{Farads, Henries, Ohms};

use crate::Element;

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

/// Least and greatest of each kind that is sold.
const OHMS: (f64, f64) = (0.1, 1e9);
const FARADS: (f64, f64) = (0.5e-12, 0.1);
const HENRIES: (f64, f64) = (10e-9, 1e3);
const POT_OHMS: (f64, f64) = (10.0, 10e6);

/// What is to be said of one value.
struct Verdict {
    severity: Severity,
    found: String,
    allowed: String,
}

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let mut found = Vec::new();
    for (index, part) in wiring.circuit.parts.iter().enumerate() {
        if let Some(verdict) = judge(&part.element) {
            found.push(Fault {
                found: format!("{} with {}", part.reference, verdict.found),
                allowed: verdict.allowed,
                why: "a slip of a prefix moves the filter a thousandfold",
                advice: format!("check the value of {} and its prefix", part.reference),
                ..wiring.fault(
                    "bad-value",
                    verdict.severity,
                    &[index],
                    &[],
                    vec![Spot::Value(index)],
                )
            });
        }
    }
    found
}

fn judge(element: &Element) -> Option<Verdict> {
    match element {
        Element::Resistor { value, .. } => within(value.0, *value, OHMS, Ohms, Severity::Doubt),
        Element::Capacitor { value, .. } => {
            within(value.0, *value, FARADS, Farads, Severity::Problem)
        }
        Element::Inductor { value, .. } => {
            within(value.0, *value, HENRIES, Henries, Severity::Problem)
        }
        Element::Pot(pot) => within(pot.value.0, pot.value, POT_OHMS, Ohms, Severity::Problem)
            .or_else(|| {
                (!(0.0..=1.0).contains(&pot.position)).then(|| Verdict {
                    severity: Severity::Problem,
                    found: format!("its shaft at {}", pot.position),
                    allowed: "a position from 0 to 1".to_owned(),
                })
            }),
        Element::Diode(diode) => {
            let sound = diode.saturation_a > 0.0
                && diode.saturation_a < 1.0
                && (0.5..=10.0).contains(&diode.ideality);
            (!sound).then(|| Verdict {
                severity: Severity::Problem,
                found: format!(
                    "a saturation current of {:e} A and ideality {}",
                    diode.saturation_a, diode.ideality
                ),
                allowed: "a saturation current above zero and under 1 A, ideality 0.5 to 10"
                    .to_owned(),
            })
        }
        Element::Opamp(_) | Element::Switch(_) => None,
    }
}

/// Judges a value in SI; a zero is as severe as `zero` says.
fn within<Q: std::fmt::Display>(
    si: f64,
    value: Q,
    (least, most): (f64, f64),
    quantity: impl Fn(f64) -> Q,
    zero: Severity,
) -> Option<Verdict> {
    let severity = if !si.is_finite() || si < 0.0 {
        Severity::Problem
    } else if si == 0.0 {
        zero
    } else if si < least || si > most {
        Severity::Doubt
    } else {
        return None;
    };
    Some(Verdict {
        severity,
        found: format!("a value of {value}"),
        allowed: format!("{} to {}", quantity(least), quantity(most)),
    })
}
