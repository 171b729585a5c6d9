//! The families, their names and what each is for.

use super::refusal::FamilyRefusal;
use crate::approximation::{
    ChebyshevEdge, Prototype, bessel, butterworth, chebyshev, equiripple_phase, gaussian,
    gaussian_to, synchronous,
};

/// A way to choose the poles of a band-pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Family {
    /// Flattest top.
    Butterworth,
    /// Steepest all-pole skirt for a ripple.
    Chebyshev {
        /// Pass-band ripple, dB.
        ripple_db: f64,
    },
    /// Flattest delay.
    Bessel,
    /// A bell.
    Gaussian,
    /// A bell to 6 dB, then steep.
    GaussianTo6,
    /// A bell to 12 dB, then steep.
    GaussianTo12,
    /// Constant delay within a phase error.
    EquiripplePhase {
        /// Phase error, degrees.
        error_deg: f64,
    },
    /// Identical stages.
    Synchronous,
    /// Searched for the least ringing that the need allows.
    Calm,
    /// Searched for the most rejection that the tail allows.
    CalmSteep,
    /// Searched for the need, with nulls.
    CalmNotched {
        /// Pairs of nulls, one below and one above the pitch each.
        pairs: usize,
    },
}

impl Family {
    /// The families a plan tries, in the order they are explained.
    pub const TRIED: [Self; 13] = [
        Self::Calm,
        Self::CalmSteep,
        Self::CalmNotched { pairs: 1 },
        Self::Bessel,
        Self::Gaussian,
        Self::GaussianTo6,
        Self::GaussianTo12,
        Self::EquiripplePhase { error_deg: 0.05 },
        Self::EquiripplePhase { error_deg: 0.5 },
        Self::Butterworth,
        Self::Chebyshev { ripple_db: 0.1 },
        Self::Chebyshev { ripple_db: 0.5 },
        Self::Synchronous,
    ];

    /// Its name, for people.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Butterworth => "Butterworth".into(),
            Self::Chebyshev { ripple_db } => format!("Chebyshev {ripple_db} dB"),
            Self::Bessel => "Bessel".into(),
            Self::Gaussian => "Gaussian".into(),
            Self::GaussianTo6 => "Gaussian to 6 dB".into(),
            Self::GaussianTo12 => "Gaussian to 12 dB".into(),
            Self::EquiripplePhase { error_deg } => {
                format!("equiripple phase {error_deg}°")
            }
            Self::Synchronous => "identical stages".into(),
            Self::Calm => "calm".into(),
            Self::CalmSteep => "calm and steep".into(),
            Self::CalmNotched { pairs: 1 } => "calm with a pair of nulls".into(),
            Self::CalmNotched { pairs } => format!("calm with {pairs} pairs of nulls"),
        }
    }

    /// What it is for, in one honest sentence.
    #[must_use]
    pub fn why(self) -> &'static str {
        match self {
            Self::Butterworth => {
                "flattest top for its order; steep near by, at the price of a long tail"
            }
            Self::Chebyshev { .. } => {
                "steepest skirt without nulls; rings longest and wants the most exact parts"
            }
            Self::Bessel => {
                "flattest delay: dits keep their shape and hardly overshoot; a soft skirt"
            }
            Self::Gaussian => {
                "no overshoot to speak of; the softest skirt near by, a little short of Bessel's delay"
            }
            Self::GaussianTo6 => {
                "a bell down to 6 dB, then nearly as steep as Butterworth; rings more than Bessel, less than Butterworth"
            }
            Self::GaussianTo12 => {
                "a bell down to 12 dB, so it hardly overshoots, then steeper; between Bessel and Butterworth"
            }
            Self::EquiripplePhase { .. } => {
                "delay held constant further out than Bessel's, so a steeper skirt for nearly the same tail"
            }
            Self::Synchronous => {
                "the same stage several times: easiest to build and trim, soft at the top and slow to fall away"
            }
            Self::Calm => {
                "poles searched for your own neighbours and width: the least ringing found that keeps them"
            }
            Self::CalmSteep => {
                "poles searched for your own tail and width: the most rejection found that falls 40 dB within the tail"
            }
            Self::CalmNotched { .. } => {
                "poles and nulls searched for your own neighbours: a null at each lets the tail be shorter, but wants well matched parts"
            }
        }
    }

    /// The low-pass prototype; `None` for the searched families.
    ///
    /// # Errors
    /// When the family is not made with that number of stages.
    pub fn prototype(self, stages: usize) -> Result<Option<Prototype>, FamilyRefusal> {
        if stages == 1 && self != Self::Synchronous {
            return Err(FamilyRefusal::OneStage { family: self });
        }
        Ok(Some(match self {
            Self::Butterworth => butterworth(stages)?,
            Self::Chebyshev { ripple_db } => chebyshev(stages, ripple_db, ChebyshevEdge::ThreeDb)?,
            Self::Bessel => bessel(stages)?,
            Self::Gaussian => gaussian(stages)?,
            Self::GaussianTo6 => gaussian_to(stages, 6.0)?,
            Self::GaussianTo12 => gaussian_to(stages, 12.0)?,
            Self::EquiripplePhase { error_deg } => equiripple_phase(stages, error_deg)?,
            Self::Synchronous => synchronous(stages)?,
            Self::Calm | Self::CalmSteep | Self::CalmNotched { .. } => return Ok(None),
        }))
    }
}
