//! What trials added up to, in memory that does not grow with their number.

use crate::{FigureSpread, wilson};

/// Most limits that a verdict can tell apart.
pub const MOST_LIMITS: usize = 64;

/// Everything counted over the trials.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// Trials made.
    pub trials: u64,
    /// Trials that missed no limit.
    pub passed: u64,
    /// How many trials missed each limit: one count for each bit of a verdict.
    pub missed: [u64; MOST_LIMITS],
    /// Each figure's spread, in the order in which figures are computed.
    pub figures: Vec<FigureSpread>,
}

impl Tally {
    pub(crate) fn new(figures: usize) -> Self {
        Tally {
            trials: 0,
            passed: 0,
            missed: [0; MOST_LIMITS],
            figures: vec![FigureSpread::default(); figures],
        }
    }

    /// Counts one trial: its figures, and the limits it missed.
    pub(crate) fn count(&mut self, figures: &[f64], verdict: u64) {
        self.trials += 1;
        self.passed += u64::from(verdict == 0);
        for (limit, missed) in self.missed.iter_mut().enumerate() {
            *missed += (verdict >> limit) & 1;
        }
        for (spread, &figure) in self.figures.iter_mut().zip(figures) {
            spread.add(figure);
        }
    }

    /// Share of the trials that passed.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.trials == 0 {
            0.0
        } else {
            self.passed as f64 / self.trials as f64
        }
    }

    /// Within which the share of all boxes lies, 95 times in 100 ([`wilson`]).
    #[must_use]
    pub fn sure_within(&self) -> (f64, f64) {
        wilson(self.passed, self.trials)
    }
}
