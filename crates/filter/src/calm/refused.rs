//! Why no calm filter was made.

use std::fmt;

/// A calm filter that cannot be asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum CalmRefused {
    /// No neighbour is named, so there is nothing to trade the tail against.
    NoNeighbour,
    /// The number of resonators is not one that is searched.
    Resonators {
        /// What was asked.
        resonators: usize,
        /// Least number, given the pairs of nulls.
        from: usize,
        /// Greatest number.
        to: usize,
    },
    /// A figure of the wish is not usable.
    Figure {
        /// Which one, in words.
        what: &'static str,
        /// What was found, in SI units or dB.
        found: f64,
        /// What is allowed, in words.
        allowed: &'static str,
    },
}

impl fmt::Display for CalmRefused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNeighbour => write!(
                f,
                "no neighbour is named; a calm filter trades its tail against at least one; name one with an offset and how far down it must be"
            ),
            Self::Resonators {
                resonators,
                from,
                to,
            } => write!(
                f,
                "{resonators} resonators found; {from} to {to} are searched for this form; change the number of stages"
            ),
            Self::Figure {
                what,
                found,
                allowed,
            } => write!(f, "{what} of {found} found; allowed is {allowed}"),
        }
    }
}

impl std::error::Error for CalmRefused {}
