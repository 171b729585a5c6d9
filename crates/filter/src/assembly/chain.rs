//! The signal path once every value is chosen.

use super::entrance::Entrance;
use super::exit::Exit;
use super::order::Line;
use super::pairing::Pairing;
use crate::Section;
use crate::topology::{Reached, Topology, unit_transfer};
use crate::values::Found;
use num_complex::Complex64;
use parts::OpampModel;
use std::f64::consts::TAU;

/// One stage with its values.
#[derive(Debug, Clone, PartialEq)]
pub struct RealisedStage {
    /// How it is made.
    pub topology: Topology,
    /// What it is to do.
    pub wanted: Section,
    /// Magnitude of the gain aimed at.
    pub gain: f64,
    /// Resistance of what drives it, in series with its input resistor, ohm.
    pub series: f64,
    /// Its values and their proof.
    pub found: Found,
    /// What it does with the real op-amp, to first order.
    pub real: Reached,
    /// Its places of two parts, if any.
    pub pairing: Option<Pairing>,
}

impl RealisedStage {
    pub(crate) fn new(
        topology: Topology,
        wanted: Section,
        gain: f64,
        series: f64,
        found: Found,
        amplifier: &OpampModel,
    ) -> Self {
        let mut values = found.values.clone();
        if let Some(input) = topology.input_place() {
            values[input] += series;
        }
        let drift = topology.drift_of(&values, amplifier);
        let mut real = found.reached;
        real.w0 *= 1.0 + drift.f0;
        real.q *= 1.0 + drift.q;
        RealisedStage {
            topology,
            wanted,
            gain,
            series,
            found,
            real,
            pairing: None,
        }
    }

    /// The same with places of two parts.
    pub(crate) fn paired(mut self, pairing: Option<Pairing>) -> Self {
        self.pairing = pairing;
        self
    }

    /// Magnitude of its response at a frequency, Hz.
    #[must_use]
    pub fn magnitude(&self, f: f64) -> f64 {
        let s = Complex64::new(0.0, TAU * f);
        self.real.transfer(self.wanted.shape, s).norm()
    }

    /// Magnitude that was wanted there, at the gain aimed at.
    #[must_use]
    pub fn wanted_magnitude(&self, f: f64) -> f64 {
        let s = Complex64::new(0.0, TAU * f);
        self.gain * unit_transfer(&self.wanted, s).norm()
    }
}

/// The whole signal path, ready to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// What stands before the first stage.
    pub entrance: Entrance,
    /// The stages, input first.
    pub stages: Vec<RealisedStage>,
    /// What stands behind the last.
    pub exit: Exit,
    /// The op-amp of the stages.
    pub amplifier: OpampModel,
    /// How order and gains were chosen.
    pub line: Line,
    /// What was decided on the way, in words.
    pub notes: Vec<String>,
}
