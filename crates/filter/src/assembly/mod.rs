//! From sections to the circuit that is soldered.
//!
//! [`realise`] is the one call: it gives every section a topology (stage by stage),
//! tries all orders and gain splits ([`order`]), searches the values of each stage in the
//! order of the signal, puts the total gain right at the end, and wires input, stages,
//! output, mid-supply and supply from real parts ([`assemble`]).

mod assembled;
mod bench;
mod bias;
mod chain;
mod choose;
mod double;
mod draw;
mod entrance;
mod exit;
mod few_values;
mod fitted;
mod headroom;
mod order;
mod pairing;
mod realise;
mod sharing;
mod standard;
mod summary;

#[cfg(test)]
mod tests;

pub use assembled::Assembled;
pub use bench::equipped;
pub use bias::Bias;
pub use chain::{Chain, RealisedStage};
pub use double::double;
pub use draw::assemble;
pub use entrance::Entrance;
pub use exit::Exit;
pub use few_values::{bags, few_values};
pub use order::{Line, Split, Ties, order};
pub use pairing::Pairing;
pub use realise::realise;
pub use summary::{ChosenPart, StageErrors, StageSummary};
