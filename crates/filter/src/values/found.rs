//! What the value search hands back: the values, what they do, and the proof.

use crate::topology::Reached;

/// The best values for one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// One value a place, in the topology's order.
    pub values: Vec<f64>,
    /// What they give with ideal op-amps.
    pub reached: Reached,
    /// Weighed error of the aim, drift of the real op-amp included to first order.
    pub error: f64,
    /// Error (not below the taste's indifference) plus the cost of awkward values: what
    /// was minimised.
    pub cost: f64,
    /// How it is known that nothing is better.
    pub proof: Proof,
}

/// Why no other combination of the shelf is better: all those not looked at lie outside a
/// bracket that any combination of lower cost would have to be in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proof {
    /// Combinations the shelf allows.
    pub combinations: f64,
    /// Complete combinations that were evaluated.
    pub evaluated: u64,
    /// Partial and complete combinations that were visited.
    pub visited: u64,
    /// The bound under which the last, complete pass was run.
    pub bound: f64,
}
