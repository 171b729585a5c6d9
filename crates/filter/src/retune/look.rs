//! What is seen of variants far from the circuit as it is.
//!
//! As [`circuit::variants::Gauge`], by the same definitions on the same grid, but for resonances
//! that move as far as is asked for, and without the tail, which costs more than all the rest.

use super::Wanted;
use circuit::Circuit;
use circuit::figures::{Curve, Study, band};
use circuit::system::{System, Unsolvable};
use circuit::variants::{Batch, Grid, Variants};
use num_complex::Complex64;
use rayon::prelude::*;

/// Figures of one variant of a circuit that has a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// The band itself.
    pub band: Band,
    /// Gain at the pitch that is asked for, dB.
    pub gain_db: f64,
    /// Gain at [`Wanted::f_hz`], dB.
    pub curve_db: Vec<f64>,
}

/// Where one variant lets through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Geometric mean of the half-power edges, Hz.
    pub centre_hz: f64,
    /// Full width 6 dB down, Hz.
    pub width_hz: f64,
}

/// A circuit whose variants are looked at.
pub struct Onlooker<'a> {
    batch: Batch<'a>,
    grid: Grid,
}

/// Nothing is expected to move farther than by this share: the grid would grow without end.
const FARTHEST: f64 = 0.75;

impl<'a> Onlooker<'a> {
    /// Prepares to look at variants whose resonances lie within the share `reach` of those of
    /// `circuit`, whose equations are `system`.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular or the poles do not settle.
    pub fn new(circuit: &'a Circuit, system: &'a System, reach: f64) -> Result<Self, Unsolvable> {
        let study = Study::new(circuit, system)?;
        let slowest = study.poles().iter().filter(|p| p.is_pair());
        let around_hz = slowest.map(|p| p.f_hz).next().unwrap_or(700.0);
        Ok(Onlooker {
            batch: Batch::new(system, &[circuit.output], around_hz)?,
            grid: Grid::around(study.poles(), reach.min(FARTHEST)),
        })
    }

    /// The equations.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.batch.system()
    }

    /// Centre and width of every variant; `None` where an edge lies outside the band or there is
    /// no solution.
    #[must_use]
    pub fn bands(&self, variants: &Variants) -> Vec<Option<Band>> {
        self.seen(variants, self.grid.f_hz(), |values| self.band(values))
    }

    /// Every variant as it compares with what is wanted; `None` as in [`Onlooker::bands`].
    #[must_use]
    pub fn looks(&self, variants: &Variants, wanted: &Wanted) -> Vec<Option<Look>> {
        let mut f_hz = self.grid.f_hz().to_vec();
        f_hz.push(wanted.pitch_hz);
        f_hz.extend_from_slice(&wanted.f_hz);
        self.seen(variants, &f_hz, |values| {
            let (swept, asked) = values.split_at(self.grid.f_hz().len());
            let mut gains = asked.iter().map(decibels);
            Some(Look {
                band: self.band(swept)?,
                gain_db: gains.next()?,
                curve_db: gains.collect(),
            })
        })
    }

    /// Gains of the circuit as it is, dB.
    #[must_use]
    pub fn gains_db(&self, f_hz: &[f64]) -> Vec<f64> {
        let nominal = Variants::nominal(self.system());
        let readings = self.batch.sweep(&nominal, f_hz);
        readings.values.iter().map(decibels).collect()
    }

    fn seen<T: Send>(
        &self,
        variants: &Variants,
        f_hz: &[f64],
        see: impl Fn(&[Complex64]) -> Option<T> + Sync + Send,
    ) -> Vec<Option<T>> {
        let readings = self.batch.sweep(variants, f_hz);
        let rows = readings.values.par_chunks(f_hz.len());
        let mut all: Vec<Option<T>> = rows.map(see).collect();
        for &(variant, _) in &readings.unsolved {
            all[variant] = None;
        }
        all
    }

    fn band(&self, swept: &[Complex64]) -> Option<Band> {
        let curve = Curve {
            f_hz: self.grid.f_hz().to_vec(),
            power: swept.iter().map(Complex64::norm_sqr).collect(),
        };
        let power = |f: f64| self.grid.between(swept, f).norm_sqr();
        let (_, peak) = curve.peak(power);
        Some(Band {
            centre_hz: band(&curve, peak * 0.5, power).centre()?,
            width_hz: band(&curve, peak * 10_f64.powf(-0.6), power).width()?,
        })
    }
}

fn decibels(value: &Complex64) -> f64 {
    10.0 * value.norm_sqr().log10()
}
