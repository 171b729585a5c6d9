//! What is taken for granted about the parts, in words.

use ::spread::{Builds, Law, Rules};
use circuit::system::Property;
use std::collections::BTreeMap;
use units::Ratio;

/// One line for each thing assumed.
pub(crate) fn assumed(builds: &Builds, rules: &Rules) -> Vec<String> {
    let mut lines = laws(builds);
    let bags = builds.lot.places.iter().filter_map(|p| p.bag);
    let mut company = BTreeMap::new();
    bags.for_each(|bag| *company.entry(bag).or_insert(0) += 1);
    if company.values().any(|&n| n > 1) {
        lines.push(format!(
            "parts of one kind and printed value come from one bag, alike to {} (--alike)",
            rules.alike
        ));
    }
    lines.extend(tolerances(builds));
    if builds.places_of(Property::GainBandwidth).next().is_some() {
        lines.push("gain-bandwidth of the op-amps within 30 %, alike in one package".to_owned());
    }
    let (cold, warm) = rules.warmth_k;
    let drifts = builds.lot.places.iter().any(|p| p.slope_per_kelvin != 0.0);
    if warm > cold && drifts {
        lines.push(format!(
            "between {:.0} °C and {:.0} °C, as the capacitors' dielectrics go with temperature \
             (--cold, --warm)",
            25.0 + cold,
            25.0 + warm
        ));
    }
    lines
}

/// Which law which parts follow.
fn laws(builds: &Builds) -> Vec<String> {
    let kinds = [
        (Property::Resistance, "resistors", "--resistors"),
        (Property::Capacitance, "capacitors", "--capacitors"),
    ];
    let mut lines = Vec::new();
    for (property, kind, option) in kinds {
        for law in Law::ALL {
            let mut tolerances: Vec<f64> = builds
                .places_of(property)
                .map(|k| &builds.lot.places[k])
                .filter(|p| p.law == law)
                .map(|p| p.tolerance)
                .collect();
            tolerances.sort_by(f64::total_cmp);
            tolerances.dedup();
            if tolerances.is_empty() {
                continue;
            }
            let each: Vec<String> = tolerances.iter().map(|t| Ratio(*t).to_string()).collect();
            lines.push(format!(
                "{kind} of {}: {} ({option})",
                each.join(", "),
                law.words()
            ));
        }
    }
    lines
}

/// Parts whose tolerance the file does not state.
fn tolerances(builds: &Builds) -> Vec<String> {
    let mut by_tolerance: Vec<(f64, Vec<&str>)> = Vec::new();
    for (name, tolerance) in &builds.assumed {
        let same = |(t, _): &&mut (f64, Vec<&str>)| t.to_bits() == tolerance.to_bits();
        match by_tolerance.iter_mut().find(same) {
            Some((_, names)) => names.push(name),
            None => by_tolerance.push((*tolerance, vec![name])),
        }
    }
    by_tolerance
        .iter()
        .map(|(tolerance, names)| {
            format!(
                "{} for {}, whose tolerance the file does not state",
                Ratio(*tolerance),
                names.join(", ")
            )
        })
        .collect()
}
