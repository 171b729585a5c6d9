//! A wish that a design does not fulfil, and by how much.

use std::fmt;

use units::{Decibels, Hertz, Seconds};

use super::BandFigures;
use crate::Listening;

/// One wish missed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shortfall {
    /// Narrower than asked, 6 dB down.
    Width {
        /// Asked.
        wanted: Hertz,
        /// Reached.
        reached: Hertz,
    },
    /// A neighbour is not down enough.
    Neighbour {
        /// Its offset.
        offset: Hertz,
        /// Asked.
        wanted: Decibels,
        /// Reached.
        reached: Decibels,
    },
    /// Rings longer than asked, 20 dB down.
    Tail {
        /// Asked.
        wanted: Seconds,
        /// Reached.
        reached: Seconds,
    },
}

/// A decibel of rejection weighs as much as this share of tail or width.
pub(crate) const SHARE_FOR_A_DECIBEL: f64 = 0.05;

/// Less than this many weighed decibels short is rounding, not a miss.
const ROUNDING: f64 = 1e-3;

impl Shortfall {
    /// Every wish missed, worst first.
    #[must_use]
    pub fn of(figures: &BandFigures, listening: &Listening) -> Vec<Self> {
        let mut all = vec![
            Self::Width {
                wanted: listening.width,
                reached: figures.width_6db,
            },
            Self::Tail {
                wanted: listening.tail,
                reached: figures.tail_20db,
            },
        ];
        for (n, reached) in listening.neighbours.iter().zip(&figures.neighbours) {
            all.push(Self::Neighbour {
                offset: n.offset,
                wanted: n.down,
                reached: *reached,
            });
        }
        all.retain(|s| s.weight() > ROUNDING);
        all.sort_by(|a, b| b.weight().total_cmp(&a.weight()));
        all
    }

    /// How far short in decibels of rejection, five per cent of tail or width counting as
    /// one; negative when there is something to spare.
    #[must_use]
    pub fn weight(&self) -> f64 {
        let shares = |ratio: f64| ratio.ln() / SHARE_FOR_A_DECIBEL.ln_1p();
        match self {
            Self::Width { wanted, reached } => shares(wanted.0 / reached.0),
            Self::Neighbour {
                wanted, reached, ..
            } => wanted.0 - reached.0,
            Self::Tail { wanted, reached } => shares(reached.0 / wanted.0),
        }
    }
}

impl fmt::Display for Shortfall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Width { wanted, reached } => write!(
                f,
                "width 6 dB down is {:.0} Hz, {:.0} Hz less than the {:.0} Hz asked",
                reached.0,
                wanted.0 - reached.0,
                wanted.0
            ),
            Self::Neighbour {
                offset,
                wanted,
                reached,
            } => write!(
                f,
                "neighbour at {:+.0} Hz is {:.1} dB down, {:.1} dB short of the {:.1} dB asked",
                offset.0,
                reached.0,
                wanted.0 - reached.0,
                wanted.0
            ),
            Self::Tail { wanted, reached } => write!(
                f,
                "tail 20 dB down is {:.1} ms, {:.1} ms longer than the {:.1} ms asked",
                1e3 * reached.0,
                1e3 * (reached.0 - wanted.0),
                1e3 * wanted.0
            ),
        }
    }
}
