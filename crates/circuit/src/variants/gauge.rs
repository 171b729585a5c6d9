//! The figures of many variants of one circuit, from one sweep of all of them.
//!
//! Every variant is evaluated at the same few hundred frequencies, laid so densely where the
//! nominal circuit resonates that its response between them is known ([`super::grid`]): the
//! frequencies of peak and edges are found on that, by the very definitions of
//! [`crate::figures`]. The pitch and the neighbours are evaluated as they are. The tail after
//! key-up is the transform of the same samples ([`super::key_up`]).
//!
//! Range: variants whose resonances lie within about [`REACH`] of the nominal ones.
//! Accuracy there: edges and peak to 3e-4 of the width, its level to 1e-3 dB, tails to 10 µs, gains
//! as the solver gives them; held by tests against one study per variant.

use super::grid::Grid;
use super::key_up::KeyUp;
use super::{Batch, Variants};
use crate::Circuit;
use crate::figures::{Curve, Study, band};
use crate::system::{System, Unsolvable};
use num_complex::Complex64;
use rayon::prelude::*;

/// How far resonances may move from where the nominal circuit has them, as a share.
pub const REACH: f64 = 0.2;

/// Variants evaluated at a time: bounds the memory to some megabytes whatever is asked.
const AT_ONCE: usize = 1024;

/// What a listener asks of a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The pitch, Hz.
    pub pitch_hz: f64,
    /// Neighbours beside it, Hz, signed.
    pub offsets_hz: Vec<f64>,
}

/// What one variant answers; the figures are those of [`crate::figures`].
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Gain at the pitch, dB.
    pub gain_at_pitch_db: f64,
    /// Greatest gain, dB.
    pub peak_db: f64,
    /// Frequency of the greatest gain, Hz.
    pub peak_hz: f64,
    /// Geometric mean of the half-power edges, Hz; `None` where an edge is outside the band.
    pub centre_hz: Option<f64>,
    /// Width at half power, Hz.
    pub width_3db_hz: Option<f64>,
    /// Width 6 dB down, Hz.
    pub width_6db_hz: Option<f64>,
    /// How far down each neighbour is against the gain at the pitch, dB.
    pub down_db: Vec<f64>,
    /// Last time after key-up at which the envelope is 20 dB down, s; `None` where the variant
    /// oscillates, rings on for longer than four times the nominal circuit, or lets nothing of
    /// the pitch through.
    pub tail_20db_s: Option<f64>,
}

/// One circuit, ready to answer a question about its variants.
pub struct Gauge<'a> {
    batch: Batch<'a>,
    grid: Grid,
    key_up: KeyUp,
    /// The grid's frequencies, then the pitch, then the neighbours.
    f_hz: Vec<f64>,
}

impl<'a> Gauge<'a> {
    /// Lays the frequencies for `circuit`, whose equations are `system`.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular or the poles do not settle.
    ///
    /// # Panics
    /// When the pitch is not above zero.
    pub fn new(
        circuit: &'a Circuit,
        system: &'a System,
        question: &Question,
    ) -> Result<Self, Unsolvable> {
        assert!(question.pitch_hz > 0.0, "a pitch of {}", question.pitch_hz);
        let study = Study::new(circuit, system)?;
        let grid = Grid::around(study.poles(), REACH);
        let key_up = KeyUp::new(&grid, study.poles(), question.pitch_hz);
        let beside = |offset: &f64| (question.pitch_hz + offset).abs();
        let mut f_hz = grid.f_hz().to_vec();
        f_hz.push(question.pitch_hz);
        f_hz.extend(question.offsets_hz.iter().map(beside));
        Ok(Gauge {
            batch: Batch::new(system, &[circuit.output], question.pitch_hz)?,
            grid,
            key_up,
            f_hz,
        })
    }

    /// The solver behind it.
    #[must_use]
    pub fn batch(&self) -> &Batch<'a> {
        &self.batch
    }

    /// The readings of every variant, in their order; `None` where one has no solution at some
    /// frequency.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn read(&self, variants: &Variants) -> Vec<Option<Reading>> {
        self.parts(variants, &self.f_hz, |values| self.reading(values))
    }

    /// Gain of every variant at frequencies of one's own, dB: all frequencies of the first
    /// variant before those of the second; `None` for a variant without a solution.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn gains_db(&self, variants: &Variants, f_hz: &[f64]) -> Vec<Option<Vec<f64>>> {
        self.parts(variants, f_hz, |values| {
            values.iter().map(|h| decibels(h.norm_sqr())).collect()
        })
    }

    /// Sweeps the variants part by part and reads each of them.
    fn parts<T: Send>(
        &self,
        variants: &Variants,
        f_hz: &[f64],
        read: impl Fn(&[Complex64]) -> T + Sync,
    ) -> Vec<Option<T>> {
        let mut all = Vec::with_capacity(variants.len());
        for part in variants.parts(AT_ONCE) {
            let readings = self.batch.sweep(&part, f_hz);
            let first = all.len();
            let rows = readings.values.par_chunks(f_hz.len());
            all.par_extend(rows.map(|row| Some(read(row))));
            for &(variant, _) in &readings.unsolved {
                all[first + variant] = None;
            }
        }
        all
    }

    fn reading(&self, values: &[Complex64]) -> Reading {
        let (swept, asked) = values.split_at(self.grid.f_hz().len());
        let curve = Curve {
            f_hz: self.grid.f_hz().to_vec(),
            power: swept.iter().map(Complex64::norm_sqr).collect(),
        };
        let power = |f: f64| self.grid.between(swept, f).norm_sqr();
        let (peak_hz, peak) = curve.peak(power);
        let half = band(&curve, peak * 0.5, power);
        let down_6 = band(&curve, peak * 10_f64.powf(-0.6), power);
        let gain_at_pitch_db = decibels(asked[0].norm_sqr());
        let down = |h: &Complex64| gain_at_pitch_db - decibels(h.norm_sqr());
        Reading {
            gain_at_pitch_db,
            peak_db: decibels(peak),
            peak_hz,
            centre_hz: half.centre(),
            width_3db_hz: half.width(),
            width_6db_hz: down_6.width(),
            down_db: asked[1..].iter().map(down).collect(),
            tail_20db_s: self.key_up.last_above(0.1, swept, asked[0]),
        }
    }
}

fn decibels(power: f64) -> f64 {
    10.0 * power.log10()
}
