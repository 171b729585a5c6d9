//! Is this a circuit somebody meant? One kind of fault a file.
//!
//! A [`Severity::Problem`] keeps the circuit from being analysed, or makes the answer
//! meaningless; a [`Severity::Doubt`] is suspicious, and the analyses go on. Every fault
//! names the parts and nodes, and points at its spots, which [`crate::Places`] turns into
//! bytes of the file.

mod bad_value;
mod both_ends;
mod dangling;
mod fault;
mod ground_name;
mod loop_of_shorts;
mod no_dc_path;
mod no_feedback;
mod no_supply;
mod out_of_ordinary;
mod outputs_tied;
mod package;
mod same_reference;
mod shorted_port;
mod shorted_supply;
mod undriven_output;
mod wiring;

pub use fault::{Fault, Severity, Spot};

use crate::Circuit;
use wiring::Wiring;

/// Everything wrong or odd about a circuit: problems first, then doubts.
#[must_use]
pub fn faults(circuit: &Circuit) -> Vec<Fault> {
    let wiring = Wiring::of(circuit);
    let searches: [fn(&Wiring<'_>) -> Vec<Fault>; 15] = [
        same_reference::find,
        bad_value::find,
        shorted_port::find,
        shorted_supply::find,
        no_supply::find,
        outputs_tied::find,
        undriven_output::find,
        no_feedback::find,
        no_dc_path::find,
        dangling::find,
        both_ends::find,
        loop_of_shorts::find,
        package::find,
        ground_name::find,
        out_of_ordinary::find,
    ];
    let mut found: Vec<Fault> = searches.iter().flat_map(|find| find(&wiring)).collect();
    found.sort_by_key(|fault| fault.severity);
    found
}
