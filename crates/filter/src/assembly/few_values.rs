//! What it would cost to make the stages of a chain of fewer different values.

use super::chain::{Chain, RealisedStage};
use crate::topology::PlaceKind;
use crate::values::{Aim, SharedValues, Shelf, Task, Taste, shared_values};
use crate::{Need, Section};

/// Gain of every stage may be off by this factor (0.25 dB) from what it is.
const TIGHT: f64 = 1.03;

/// Number of different values against the cost of the worst stage, for the stages of a chain as they
/// are: the same sections, topologies and gains, no stage costing more than `tolerated`. `None` where
/// the parts come from a drawer, whose values are there anyway, or single parts do not make a stage.
#[must_use]
pub fn few_values(need: &Need, chain: &Chain, tolerated: f64) -> Option<SharedValues> {
    let shelf = Shelf::from_rules(&need.parts).ok()?;
    if shelf.has_drawer() {
        return None;
    }
    let task = |stage: &RealisedStage| {
        let section: Section = stage.wanted;
        let gain = stage.found.reached.gain.abs();
        let mut aim = Aim::response(section, gain, TIGHT);
        if stage.topology.forced_gain(&section).is_some() {
            aim.slack = f64::INFINITY;
        }
        Task {
            topology: stage.topology,
            aim,
            shelf: &shelf,
            taste: Taste::BENCH,
            amplifier: &chain.amplifier,
            series: stage.series,
            most: 2.0 * tolerated,
            unequal: need.parts.capacitors.unequal,
        }
    };
    let tasks: Vec<Task<'_>> = chain.stages.iter().map(task).collect();
    let shared = shared_values(&tasks, tolerated);
    (!shared.steps.is_empty()).then_some(shared)
}

/// The different values of some stages: resistors (ohm), then capacitors (farad), each rising.
#[must_use]
pub fn bags(stages: &[(crate::topology::Topology, &[f64])]) -> [Vec<f64>; 2] {
    [PlaceKind::Resistor, PlaceKind::Capacitor].map(|kind| {
        let mut all: Vec<f64> = Vec::new();
        for (topology, values) in stages {
            let places = topology.places().iter().zip(*values);
            all.extend(places.filter(|(p, _)| p.kind == kind).map(|(_, v)| *v));
        }
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| crate::values::alike(*a, *b));
        all
    })
}
