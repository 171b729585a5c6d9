//! The circuit that gets soldered, with the story of its values.

use super::bias::Bias;
use super::chain::Chain;
use super::summary::StageSummary;
use circuit::Circuit;

/// A complete circuit and how it came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembled {
    /// The circuit, every part with stage and role.
    pub circuit: Circuit,
    /// The filter stages, input first.
    pub stages: Vec<StageSummary>,
    /// The mid-supply network.
    pub bias: Bias,
    /// The signal path it was drawn from.
    pub chain: Chain,
    /// What was decided on the way, in words.
    pub notes: Vec<String>,
}
