//! What is to be simulated.

use units::Seconds;

use crate::NodeId;
use crate::dc::Unsolved;

/// Whether limits count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Small signals around the point of rest: amplifiers without limits, diodes as the
    /// conductance they have there. Voltages are counted from the point of rest.
    Linear,
    /// Slew, swing, current limit, diodes. Voltages are counted from 0 V. Offset and bias
    /// current act, and the supply feed is taken as stiff: what the amplifiers draw stays
    /// at its value at rest.
    Full,
}

/// Length, step and what to record. The step is fixed and the sample spacing of the
/// trace; errors fall with its square (see [`super::simulate`]).
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Time to simulate, from t = 0.
    pub length: Seconds,
    /// Step.
    pub step: Seconds,
    /// Whether limits count.
    pub mode: Mode,
    /// Nodes to record besides the output.
    pub watch: Vec<NodeId>,
}

/// Most samples of one trace, all nodes together: 0.8 GB of memory.
const MOST_SAMPLES: usize = 100_000_000;

impl Request {
    /// The output alone.
    #[must_use]
    pub fn new(length: Seconds, step: Seconds, mode: Mode) -> Self {
        Request {
            length,
            step,
            mode,
            watch: Vec::new(),
        }
    }

    /// Steps to take, or why the request cannot be served.
    pub(super) fn steps(&self, nodes: usize) -> Result<usize, Unsolved> {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        if !(positive(self.step.0) && positive(self.length.0)) {
            let (length, step) = (self.length.0, self.step.0);
            return Err(Unsolved::BadRequest {
                what: format!(
                    "a simulation of {length} s in steps of {step} s: both must be above zero"
                ),
            });
        }
        if let Some(node) = self.watch.iter().find(|n| n.0 >= nodes) {
            return Err(Unsolved::BadRequest {
                what: format!("node number {}: the circuit has {nodes}", node.0),
            });
        }
        let steps = (self.length.0 / self.step.0).round();
        let samples = steps * (2.0 + self.watch.len() as f64);
        if samples > MOST_SAMPLES as f64 {
            return Err(Unsolved::TooLong {
                samples,
                most: MOST_SAMPLES,
            });
        }
        Ok((steps as usize).max(1))
    }
}
