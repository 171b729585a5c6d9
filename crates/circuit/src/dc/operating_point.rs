//! The point of rest, as a table a builder could measure.

use units::{Amperes, Volts};

use crate::network::Junction;
use crate::{Diode, NodeId};

use super::finding::DcFinding;

/// What an amplifier is doing at rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AmplifierState {
    /// Inside all its limits.
    Linear,
    /// Output against its positive end.
    StuckHigh,
    /// Output against its negative end.
    StuckLow,
    /// Linear as far as the model goes, but an input is outside its common-mode range.
    InputOutOfRange,
    /// Output current at its limit.
    CurrentLimited,
}

/// One amplifier at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct AmplifierPoint {
    /// Index of the part in the circuit.
    pub part: usize,
    /// What it is doing.
    pub state: AmplifierState,
    /// Voltages of plus, minus and out against 0 V.
    pub pins: [Volts; 3],
    /// Current out of the output.
    pub output_current: Amperes,
    /// Current it takes from its positive supply node.
    pub supply_current: Amperes,
    /// How far its output can move from here before the nearer end of its swing; infinite
    /// for the textbook amplifier, zero where it is stuck.
    pub headroom: Volts,
}

/// One part at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartPoint {
    /// Current: from the first end to the second; of a pot from its first end to the
    /// wiper; of an amplifier out of its output; of a diode from anode to cathode.
    pub current: Amperes,
    /// Heat, W.
    pub dissipation_w: f64,
}

/// The circuit at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct OperatingPoint {
    /// Voltage of each node against 0 V, indexed like the circuit's nodes.
    pub nodes: Vec<Volts>,
    /// The amplifiers, in the order of the file.
    pub amplifiers: Vec<AmplifierPoint>,
    /// Each part, indexed like the circuit's parts.
    pub parts: Vec<PartPoint>,
    /// Current the supply delivers; zero without a supply.
    pub supply_current: Amperes,
    /// What is remarkable.
    pub findings: Vec<DcFinding>,
}

impl OperatingPoint {
    /// Small-signal conductance of a diode of this circuit at rest, S: `(i + I_S)/(n V_T)`.
    #[must_use]
    pub fn conductance_s(&self, diode: &Diode) -> f64 {
        let across = self.volts(diode.anode).0 - self.volts(diode.cathode).0;
        Junction::new(0, diode).law(across).1
    }

    /// Voltage of a node against 0 V.
    #[must_use]
    pub fn volts(&self, node: NodeId) -> Volts {
        self.nodes[node.0]
    }
}
