//! One block: as many lanes as the vectors hold, each a variant at a frequency.

use super::lanes::Lanes;
use super::number::Number;
use super::recorder::{OMEGA, ONE, row_number};
use super::recording::Recording;
use super::run::Run;
use super::table::Variants;
use crate::system::System;
use num_complex::Complex64;
use pulp::{Simd, WithSimd};
use rayon::prelude::*;
use std::f64::consts::TAU;

/// An answer stands when refining it once moves it by no more than this share. What is left
/// afterwards is that share of the correction again, 1e-10 of the answer; 1e-9 is promised.
const SHARE: f64 = 1e-5;

/// Below this, in volts per volt of the source, an answer need not be right to nine figures:
/// −240 dB.
const FLOOR: f64 = 1e-12;

/// What lies along the lanes.
#[derive(Debug, Clone, Copy)]
enum Along {
    /// Variants, from this one on; every frequency in turn.
    Variants {
        /// First variant of the block.
        from: usize,
    },
    /// Frequencies of this one variant, from this one on.
    Frequencies {
        /// The variant.
        variant: usize,
        /// First frequency of the block.
        from: usize,
    },
}

/// A variant at a frequency whose answer moved too far when it was refined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Doubtful {
    pub(super) variant: usize,
    pub(super) frequency: usize,
}

/// What is asked of all blocks.
#[derive(Clone, Copy)]
pub(super) struct Job<'a> {
    pub(super) system: &'a System,
    pub(super) line: &'a Recording,
    pub(super) variants: &'a Variants,
    pub(super) f_hz: &'a [f64],
    /// Unknowns whose values are wanted; `None` for a rail.
    pub(super) outputs: &'a [Option<usize>],
    pub(super) with_slopes: bool,
}

impl Job<'_> {
    /// Answers for one variant at one frequency.
    pub(super) fn stride(&self) -> usize {
        let slopes = if self.with_slopes {
            self.system.parameters().len()
        } else {
            0
        };
        self.outputs.len() + slopes
    }

    /// Fills `values`, block by block on all threads; returns what has to be done again.
    ///
    /// Lanes lie along the variants unless there are too few to fill them.
    pub(super) fn run(&self, values: &mut [Complex64]) -> Vec<Doubtful> {
        let width = pulp::Arch::new().dispatch(Width);
        let of_one = self.f_hz.len() * self.stride();
        if self.variants.len() >= width {
            let blocks = values.par_chunks_mut(width * of_one).enumerate();
            return blocks
                .flat_map_iter(|(k, into)| self.block(Along::Variants { from: k * width }, into))
                .collect();
        }
        let blocks_of = |(variant, all)| {
            let blocks = <[Complex64]>::par_chunks_mut(all, width * self.stride()).enumerate();
            blocks.flat_map_iter(move |(k, into)| {
                let from = k * width;
                self.block(Along::Frequencies { variant, from }, into)
            })
        };
        let variants = values.par_chunks_mut(of_one).enumerate();
        variants.flat_map(blocks_of).collect()
    }

    fn block(&self, along: Along, into: &mut [Complex64]) -> Vec<Doubtful> {
        pulp::Arch::new().dispatch(Block {
            job: *self,
            along,
            into,
        })
    }
}

/// The work on one block; `into` is where its answers go.
struct Block<'a> {
    job: Job<'a>,
    along: Along,
    into: &'a mut [Complex64],
}

impl Block<'_> {
    /// The variant of a lane; lanes to spare repeat the last.
    fn variant(&self, lane: usize) -> usize {
        match self.along {
            Along::Variants { from } => (from + lane).min(self.job.variants.len() - 1),
            Along::Frequencies { variant, .. } => variant,
        }
    }

    fn frequency(&self, lane: usize, turn: usize) -> usize {
        match self.along {
            Along::Variants { .. } => turn,
            Along::Frequencies { from, .. } => (from + lane).min(self.job.f_hz.len() - 1),
        }
    }

    fn turns(&self) -> usize {
        match self.along {
            Along::Variants { .. } => self.job.f_hz.len(),
            Along::Frequencies { .. } => 1,
        }
    }

    /// Lanes that are not to spare.
    fn used(&self, width: usize) -> usize {
        match self.along {
            Along::Variants { from } => width.min(self.job.variants.len() - from),
            Along::Frequencies { from, .. } => width.min(self.job.f_hz.len() - from),
        }
    }

    /// Where the answers of a lane begin in `into`.
    fn place(&self, lane: usize, turn: usize) -> usize {
        let answer = match self.along {
            Along::Variants { .. } => lane * self.job.f_hz.len() + turn,
            Along::Frequencies { .. } => lane,
        };
        answer * self.job.stride()
    }

    /// Sums of strengths, lane by lane.
    fn fill(&self, lanes: &mut Lanes, width: usize) {
        lanes.row_mut(ONE).fill(1.0);
        let parameters = self.job.system.parameters();
        let strengths = self.job.system.strengths();
        let mut ratios = vec![1.0; parameters.len()];
        let mut values: Vec<f64> = strengths.iter().map(|s| s.value).collect();
        for lane in 0..width {
            let known = lane > 0 && self.variant(lane) == self.variant(lane - 1);
            if !known {
                self.job
                    .variants
                    .ratios(self.variant(lane), parameters, &mut ratios);
                for (value, strength) in values.iter_mut().zip(strengths) {
                    *value = strength.valued(&ratios);
                }
            }
            for (row, sum) in &self.job.line.sums {
                lanes.row_mut(*row)[lane] = sum.iter().map(|&(k, w)| w * values[k]).sum();
            }
            if self.job.with_slopes {
                for (row, value) in (self.job.line.strengths..).zip(&values) {
                    lanes.row_mut(row)[lane] = *value;
                }
            }
        }
    }

    fn answers(&mut self, lanes: &Lanes, turn: usize, doubtful: &mut Vec<Doubtful>) {
        let line = self.job.line;
        let used = self.used(lanes.row(OMEGA).len());
        let verdict = lanes.row(line.verdict);
        for (index, output) in self.job.outputs.iter().enumerate() {
            let number = output.map_or(Number::Zero, |k| line.solution[k]);
            for lane in 0..used {
                let at = self.place(lane, turn) + index;
                self.into[at] = read(lanes, number, lane);
            }
        }
        if self.job.with_slopes {
            for index in 0..self.job.system.parameters().len() {
                let row = line.slopes + row_number(2 * index);
                for lane in 0..used {
                    let at = self.place(lane, turn) + self.job.outputs.len() + index;
                    self.into[at] = read(lanes, Number::Complex(row), lane);
                }
            }
        }
        for (lane, &passed) in verdict.iter().enumerate().take(used) {
            if passed < 0.5 {
                doubtful.push(Doubtful {
                    variant: self.variant(lane),
                    frequency: self.frequency(lane, turn),
                });
            }
        }
    }
}

fn read(lanes: &Lanes, number: Number, lane: usize) -> Complex64 {
    let at = |row| lanes.row(row)[lane];
    match number {
        Number::Zero => Complex64::ZERO,
        Number::Unit { negative } => Complex64::new(if negative { -1.0 } else { 1.0 }, 0.0),
        Number::Real(row) => Complex64::new(at(row), 0.0),
        Number::Imaginary(row) => Complex64::new(0.0, at(row)),
        Number::Complex(row) => Complex64::new(at(row), at(row + 1)),
    }
}

impl WithSimd for Block<'_> {
    type Output = Vec<Doubtful>;

    #[inline(always)]
    fn with_simd<S: Simd>(mut self, simd: S) -> Self::Output {
        let width = Lanes::width::<S>();
        let mut lanes = Lanes::new::<S>(self.job.line.rows);
        let mut doubtful = Vec::new();
        self.fill(&mut lanes, width);
        for turn in 0..self.turns() {
            for lane in 0..width {
                let f_hz = self.job.f_hz[self.frequency(lane, turn)];
                lanes.row_mut(OMEGA)[lane] = TAU * f_hz;
            }
            let mut run = Run {
                simd,
                rows: lanes.vectors::<S>(),
                line: self.job.line,
            };
            if turn == 0 {
                run.steps(&self.job.line.before);
            }
            run.steps(&self.job.line.each);
            run.residual();
            run.steps(&self.job.line.refine);
            run.correct(SHARE, FLOOR);
            if self.job.with_slopes {
                run.steps(&self.job.line.transposed);
                run.slopes(self.job.system);
            }
            self.answers(&lanes, turn, &mut doubtful);
        }
        doubtful
    }
}

/// Lanes of the widest vectors that this machine has.
struct Width;

impl WithSimd for Width {
    type Output = usize;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> usize {
        Lanes::width::<S>()
    }
}
