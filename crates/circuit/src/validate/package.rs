//! References of amplifiers against the packages they come in: `U1C` in a dual, `U1A` and
//! `U1B` of different types, `U1` beside `U1A`. (Suffix letters: ASME Y14.44-2008, after
//! IEEE 315-1975 section 22.)

use crate::{Opamp, Package};

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let real: Vec<(usize, &Opamp)> = wiring
        .opamps()
        .filter(|(_, opamp)| !opamp.model.is_ideal())
        .collect();
    let mut found = Vec::new();
    for (k, &(part, opamp)) in real.iter().enumerate() {
        let name = wiring.reference(part);
        let Package {
            name: package,
            unit,
        } = wiring.circuit.parts[part].package();
        let holds = opamp.model.pinout.amplifiers;
        if let Some(unit) = unit.filter(|&unit| unit >= holds) {
            let found_text = format!(
                "{name}, amplifier {} of a {}, which holds {holds}",
                unit + 1,
                opamp.model.name
            );
            found.push(fault(wiring, found_text, part, part, letters(holds)));
        }
        let earlier = real[..k].iter().find(|&&(other, before)| {
            let Package {
                name: same,
                unit: sibling,
            } = wiring.circuit.parts[other].package();
            let differs = before.model.name != opamp.model.name;
            same.eq_ignore_ascii_case(package)
                && (differs || sibling.is_none() || unit.is_none())
                && sibling != unit
        });
        if let Some(&(other, before)) = earlier {
            let text = format!(
                "{} ({}) and {name} ({}) in one package",
                wiring.reference(other),
                before.model.name,
                opamp.model.name
            );
            let allowed = "amplifiers of one type, each with its letter".to_owned();
            found.push(fault(wiring, text, other, part, allowed));
        }
    }
    found
}

fn fault(wiring: &Wiring<'_>, found: String, other: usize, part: usize, allowed: String) -> Fault {
    let mut parts = vec![other, part];
    parts.dedup();
    Fault {
        found,
        allowed,
        why: "the parts list counts packages, and the pins follow from the letter",
        advice: format!("give {} another number or letter", wiring.reference(part)),
        ..wiring.fault(
            "package",
            Severity::Doubt,
            &parts,
            &[],
            vec![Spot::Part(part)],
        )
    }
}

/// `A to D`.
fn letters(holds: usize) -> String {
    match holds {
        1 => "no letter, or A".to_owned(),
        _ => format!("A to {}", char::from(b'A' + (holds.min(26) as u8) - 1)),
    }
}
