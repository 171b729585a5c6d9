//! Why a family gave no design at all.

use std::fmt;

use super::Family;
use crate::approximation::ApproximationRefused;
use crate::calm::CalmRefused;

/// A family that cannot be designed for the request.
#[derive(Debug, Clone, PartialEq)]
pub enum FamilyRefusal {
    /// One stage is the same resonator in every family.
    OneStage {
        /// What was asked.
        family: Family,
    },
    /// The tail and the width leave no rejection to gain: what comes nearest is calm's.
    NothingToSpare {
        /// Number of resonators.
        stages: usize,
    },
    /// The prototype is not made.
    Approximation(ApproximationRefused),
    /// The search cannot be asked.
    Calm(CalmRefused),
    /// A figure of the need is not usable.
    Figure {
        /// Which one, in words.
        what: &'static str,
        /// What was found, SI unit.
        found: f64,
        /// What is allowed, in words.
        allowed: &'static str,
    },
}

impl fmt::Display for FamilyRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OneStage { family } => write!(
                f,
                "one stage asked of {}; a single resonator is the same in every family and is tried as identical stages; allow two stages",
                family.name()
            ),
            Self::NothingToSpare { stages } => write!(
                f,
                "{stages} stages cannot fall 40 dB within the tail asked for and keep every other wish; what comes nearest is offered as calm; allow a longer tail or more stages"
            ),
            Self::Approximation(inner) => inner.fmt(f),
            Self::Calm(inner) => inner.fmt(f),
            Self::Figure {
                what,
                found,
                allowed,
            } => write!(f, "{what} of {found} found; allowed is {allowed}"),
        }
    }
}

impl std::error::Error for FamilyRefusal {}

impl From<ApproximationRefused> for FamilyRefusal {
    fn from(inner: ApproximationRefused) -> Self {
        Self::Approximation(inner)
    }
}

impl From<CalmRefused> for FamilyRefusal {
    fn from(inner: CalmRefused) -> Self {
        Self::Calm(inner)
    }
}
