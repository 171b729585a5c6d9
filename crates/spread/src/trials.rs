//! Trials: builds of one design with parts drawn by chance.
//!
//! A trial is known by its number: its draws depend on the seed, the number and the place alone.
//! Blocks of trials run side by side, are counted in the order of their numbers, and are then
//! forgotten; so the outcome is the same to the bit on any number of threads, and memory is that
//! of [`WAVE`] trials whatever their number.

use crate::lot::Luck;
use crate::{Lot, Tally, Treatment};
use numeric::CountedDraws;
use rayon::prelude::*;

/// Trials that run side by side before anyone is asked whether to go on.
pub const WAVE: u64 = 8_192;
/// Trials of one block.
const BLOCK: u64 = 256;

/// How many trials, of what, with which luck.
#[derive(Debug, Clone, Copy)]
pub struct Trials<'a> {
    /// The parts.
    pub lot: &'a Lot,
    /// What is done with them, in this order.
    pub treatments: &'a [Treatment],
    /// The seed of every draw.
    pub seed: u64,
    /// How many.
    pub count: u64,
}

/// What is computed of a build, and what it is held to.
pub struct Judge<'a> {
    /// How many figures a build has.
    pub figures: usize,
    /// From the parts of many builds, as multiples of the printed values (all places of the first
    /// build before those of the second), to their figures in the same order; NaN where a build has
    /// no such figure.
    pub evaluate: &'a (dyn Fn(&[f64]) -> Vec<f64> + Sync),
    /// From the figures of one build to the limits it misses, one bit each; 0 passes.
    pub verdict: &'a (dyn Fn(&[f64]) -> u64 + Sync),
}

/// The run was stopped before its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped {
    /// Trials that had been made.
    pub after: u64,
}

impl Trials<'_> {
    /// Makes the trials. Between waves `go_on` is told how many are done, and asked.
    ///
    /// # Errors
    /// [`Stopped`] when it says no.
    pub fn run(
        &self,
        judge: &Judge<'_>,
        mut go_on: impl FnMut(u64) -> bool,
    ) -> Result<Tally, Stopped> {
        let mut tally = Tally::new(judge.figures);
        let mut from = 0;
        while from < self.count {
            if !go_on(from) {
                return Err(Stopped { after: from });
            }
            let to = (from + WAVE).min(self.count);
            let starts: Vec<u64> = (from..to).step_by(BLOCK as usize).collect();
            let blocks: Vec<Vec<f64>> = starts
                .into_par_iter()
                .map(|start| (judge.evaluate)(&self.builds(start..(start + BLOCK).min(to))))
                .collect();
            for build in blocks
                .iter()
                .flat_map(|block| block.chunks_exact(judge.figures))
            {
                tally.count(build, (judge.verdict)(build));
            }
            from = to;
        }
        Ok(tally)
    }

    /// The parts of some builds, as multiples of the printed values.
    #[must_use]
    pub fn builds(&self, which: std::ops::Range<u64>) -> Vec<f64> {
        let width = self.lot.places.len();
        let count = usize::try_from(which.end - which.start).unwrap_or(0);
        let mut ratios = vec![0.0; count * width];
        if width > 0 {
            let draws = CountedDraws::new(self.seed);
            for (trial, row) in which.zip(ratios.chunks_exact_mut(width)) {
                self.lot.draw(Luck::new(draws, trial), self.treatments, row);
            }
        }
        ratios
    }
}
