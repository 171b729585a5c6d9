//! Two parts under one reference. A reference is the only name a builder has for a part;
//! two of them make every report ambiguous. (IEEE 315-1975 section 22: a designation
//! identifies one item.)

use super::fault::{Fault, Severity, Spot};
use super::wiring::Wiring;

pub(super) fn find(wiring: &Wiring<'_>) -> Vec<Fault> {
    let parts = &wiring.circuit.parts;
    let same = |a: usize, b: usize| parts[a].reference.eq_ignore_ascii_case(&parts[b].reference);
    (0..parts.len())
        .filter_map(|later| {
            let first = (0..later).find(|&earlier| same(earlier, later))?;
            Some((first, later))
        })
        .map(|(first, later)| {
            let spots = vec![Spot::Part(later), Spot::Part(first)];
            let name = wiring.reference(later);
            Fault {
                found: format!(
                    "{name} a second time, after the {} of that reference",
                    parts[first].element.kind()
                ),
                allowed: "each reference once".to_owned(),
                why: "a reference is the only name a part has on the board",
                advice: format!(
                    "give one of them a reference of its own, such as {}",
                    free(wiring, name)
                ),
                ..wiring.fault(
                    "same-reference",
                    Severity::Problem,
                    &[first, later],
                    &[],
                    spots,
                )
            }
        })
        .collect()
}

/// The next number above the highest with the same letters (IEEE 315 practice: numbers
/// are not reused).
fn free(wiring: &Wiring<'_>, name: &str) -> String {
    let letters: String = name.chars().take_while(char::is_ascii_alphabetic).collect();
    let highest = wiring
        .circuit
        .parts
        .iter()
        .filter_map(|p| {
            let rest = p.reference.strip_prefix(&letters)?;
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            digits.parse::<u32>().ok()
        })
        .max()
        .unwrap_or(0);
    format!("{letters}{}", highest.saturating_add(1))
}
