//! What can be wrong with a circuit, one finding a file.
//!
//! Each file checks one thing and says what it checks, why it matters, what to do,
//! and on whose word. To add one: write the file, name it in the list below.

mod assumed_part;
mod at_rest;
mod battery_life;
mod bypass_match;
mod clips_early;
mod crossover;
mod decoupling;
mod doubtful_wiring;
mod ear_already_filters;
mod gain_missed;
mod hum_line;
mod loud;
mod neighbour_heard;
mod no_figures;
mod no_resonance;
mod noisy;
mod off_pitch;
mod phones_drive;
mod rings;
pub(crate) mod sings;
mod slew;
mod slipped_prefix;
mod slow_amplifier;
mod starved_amplifier;
mod stiff_bias;
mod too_narrow;
mod uneven_skirts;
mod unsuitable_dielectric;
mod value_doubted;
mod wider_than_asked;

use crate::finding::Finding;
use crate::report::CheckReport;
use crate::wishes::Wishes;
use circuit::Circuit;
use circuit::dc::OperatingPoint;

/// Everything a finding may look at.
pub(crate) struct Evidence<'a> {
    /// The circuit.
    pub(crate) circuit: &'a Circuit,
    /// What it is held against.
    pub(crate) wishes: &'a Wishes,
    /// Its figures.
    pub(crate) report: &'a CheckReport,
    /// d ln(centre) / d ln(value) of every part, in the order of the circuit; empty when there is no centre.
    pub(crate) centre_sensitivity: &'a [f64],
    /// Where it rests without a signal.
    pub(crate) rest: &'a OperatingPoint,
}

type Check = fn(&Evidence<'_>) -> Vec<Finding>;

/// What can be found without a signal: a slip of wiring first, since others may follow from it.
const AT_REST: &[Check] = &[
    doubtful_wiring::check,
    assumed_part::check,
    at_rest::check,
    battery_life::check,
    decoupling::check,
    hum_line::check,
    no_figures::check,
    starved_amplifier::check,
    stiff_bias::check,
    unsuitable_dielectric::check,
    value_doubted::check,
];

/// What can be found only where the figures of signals hold.
const WITH_SIGNALS: &[Check] = &[
    bypass_match::check,
    clips_early::check,
    crossover::check,
    ear_already_filters::check,
    gain_missed::check,
    loud::check,
    neighbour_heard::check,
    no_resonance::check,
    noisy::check,
    off_pitch::check,
    phones_drive::check,
    rings::check,
    sings::check,
    slew::check,
    slipped_prefix::check,
    slow_amplifier::check,
    too_narrow::check,
    uneven_skirts::check,
    wider_than_asked::check,
];

/// Runs every check that means something; gravest findings first, otherwise in the order of the lists.
pub(crate) fn all(evidence: &Evidence<'_>) -> Vec<Finding> {
    let with_signals = match evidence.report.withheld {
        None => WITH_SIGNALS,
        Some(_) => &[],
    };
    let checks = AT_REST.iter().chain(with_signals);
    let mut found: Vec<Finding> = checks.flat_map(|check| check(evidence)).collect();
    found.sort_by_key(|f| std::cmp::Reverse(f.severity));
    found
}
