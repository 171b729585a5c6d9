//! What each stage was to do, what it does, and how its values came about.

use crate::Section;
use crate::topology::Topology;
use crate::values::Proof;
use units::Decibels;

/// One part of a stage: what the equations asked for and what was chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct ChosenPart {
    /// Reference on the schematic.
    pub reference: String,
    /// What it does.
    pub role: String,
    /// Value of the design equations for the chosen capacitors, SI; `None` where they have
    /// no solution with the gain finally chosen.
    pub ideal: Option<f64>,
    /// Value chosen, SI.
    pub chosen: f64,
}

/// Relative errors of a stage against what was wanted, real op-amp included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageErrors {
    /// Of the natural frequency.
    pub f0: f64,
    /// Of the quality factor.
    pub q: f64,
    /// Of the gain; between stages it is free, the total is what counts.
    pub gain: f64,
}

/// One stage in figures.
#[derive(Debug, Clone, PartialEq)]
pub struct StageSummary {
    /// Its name in the circuit: the `stage` of its parts.
    pub name: String,
    /// How it is made.
    pub topology: Topology,
    /// What was wanted.
    pub wanted: Section,
    /// What is reached with the real op-amp, to first order.
    pub reached: Section,
    /// Gain reached, at f0 for a band-pass, in the passband otherwise.
    pub gain: Decibels,
    /// What is off.
    pub errors: StageErrors,
    /// Greatest resistor over smallest.
    pub spread: f64,
    /// Its frequency-setting parts.
    pub parts: Vec<ChosenPart>,
    /// Weighed error of the value search.
    pub error: f64,
    /// Why nothing on the shelf is better.
    pub proof: Proof,
}
