//! What was recorded.

use units::Seconds;

use crate::NodeId;

/// A limit an amplifier met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// The input stage asked for more than the slew rate.
    Slew,
    /// The output reached the end of its swing.
    Swing,
    /// The output current reached its limit.
    Current,
    /// An input left its common-mode range.
    InputRange,
}

/// The first time an amplifier met a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overrun {
    /// Index of the amplifier's part in the circuit.
    pub part: usize,
    /// Which limit.
    pub limit: Limit,
    /// When first.
    pub first: Seconds,
    /// In how many samples.
    pub samples: usize,
}

/// Samples at `t = 0, step, 2 step, …`; the first is the point of rest, before any jump
/// at t = 0 has acted.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Time between samples.
    pub step: Seconds,
    /// Open-circuit source voltage, V; at a jump the value after it.
    pub source: Vec<f64>,
    /// Output node, V.
    pub output: Vec<f64>,
    /// The watched nodes, in the order asked for, V.
    pub watched: Vec<(NodeId, Vec<f64>)>,
    /// Limits met, in the order they were first met; empty in linear mode.
    pub overruns: Vec<Overrun>,
}

impl Trace {
    /// The samples of a node, if it was recorded.
    #[must_use]
    pub fn of(&self, node: NodeId) -> Option<&[f64]> {
        let watched = self.watched.iter().find(|(n, _)| *n == node);
        watched.map(|(_, volts)| volts.as_slice())
    }

    /// Time of a sample.
    #[must_use]
    pub fn time(&self, sample: usize) -> Seconds {
        Seconds(self.step.0 * sample as f64)
    }
}
