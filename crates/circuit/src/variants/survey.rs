//! Many variants of one circuit, each seen as a whole response.
//!
//! All are evaluated at the same frequencies, laid so densely about the poles ([`super::grid`]) that
//! every response between them is known; where its peak and edges lie is found on that, by the
//! very definitions of [`crate::figures`].

use super::grid::Grid;
use super::{Batch, Variants};
use crate::Circuit;
use crate::figures::{Curve, band};
use crate::poles::Root;
use crate::system::{System, Unsolvable};
use num_complex::Complex64;
use rayon::prelude::*;

/// Variants evaluated at a time: bounds the memory to some megabytes whatever is asked.
const AT_ONCE: usize = 1024;

/// One circuit, ready for its variants to be looked at.
pub struct Survey<'a> {
    batch: Batch<'a>,
    grid: Grid,
}

/// Where a variant lets through; the figures are those of [`crate::figures::Response`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passband {
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
}

/// One variant, seen.
pub struct Sight<'s> {
    grid: &'s Grid,
    swept: &'s [Complex64],
    asked: &'s [Complex64],
}

impl<'a> Survey<'a> {
    /// Lays the frequencies for variants of `circuit` (whose equations are `system`) whose
    /// resonances lie within the share `reach` of `poles`; `around_hz` is where most is asked for.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular.
    pub fn new(
        circuit: &Circuit,
        system: &'a System,
        poles: &[Root],
        reach: f64,
        around_hz: f64,
    ) -> Result<Self, Unsolvable> {
        Ok(Survey {
            batch: Batch::new(system, &[circuit.output], around_hz)?,
            grid: Grid::around(poles, reach),
        })
    }

    /// The solver behind it.
    #[must_use]
    pub fn batch(&self) -> &Batch<'a> {
        &self.batch
    }

    pub(super) fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Looks at every variant, and at the frequencies `f_hz` as they are beside; `None` for one
    /// without a solution at some frequency.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    pub fn look<T: Send>(
        &self,
        variants: &Variants,
        f_hz: &[f64],
        see: impl Fn(&Sight<'_>) -> T + Sync,
    ) -> Vec<Option<T>> {
        let mut all_hz = self.grid.f_hz().to_vec();
        all_hz.extend_from_slice(f_hz);
        self.rows(variants, &all_hz, |values| {
            let (swept, asked) = values.split_at(self.grid.f_hz().len());
            see(&Sight {
                grid: &self.grid,
                swept,
                asked,
            })
        })
    }

    /// Gain of every variant at frequencies of one's own, dB; `None` for a variant without a
    /// solution.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn gains_db(&self, variants: &Variants, f_hz: &[f64]) -> Vec<Option<Vec<f64>>> {
        self.rows(variants, f_hz, |values| {
            values.iter().map(decibels).collect()
        })
    }

    /// Sweeps the variants part by part and reads each of them.
    fn rows<T: Send>(
        &self,
        variants: &Variants,
        f_hz: &[f64],
        read: impl Fn(&[Complex64]) -> T + Sync,
    ) -> Vec<Option<T>> {
        if f_hz.is_empty() {
            return (0..variants.len()).map(|_| Some(read(&[]))).collect();
        }
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
}

impl Sight<'_> {
    /// The response at the frequencies of the grid.
    pub(super) fn swept(&self) -> &[Complex64] {
        self.swept
    }

    /// The response at the frequencies that were asked for beside.
    #[must_use]
    pub fn asked(&self) -> &[Complex64] {
        self.asked
    }

    /// Gains at the frequencies that were asked for beside, dB.
    pub fn gains_db(&self) -> impl Iterator<Item = f64> + '_ {
        self.asked.iter().map(decibels)
    }

    /// Where it lets through.
    #[must_use]
    pub fn passband(&self) -> Passband {
        let curve = Curve {
            f_hz: self.grid.f_hz().to_vec(),
            power: self.swept.iter().map(Complex64::norm_sqr).collect(),
        };
        let power = |f: f64| self.grid.between(self.swept, f).norm_sqr();
        let (peak_hz, peak) = curve.peak(power);
        let half = band(&curve, peak * 0.5, power);
        let down_6 = band(&curve, peak * 10_f64.powf(-0.6), power);
        Passband {
            peak_db: 10.0 * peak.log10(),
            peak_hz,
            centre_hz: half.centre(),
            width_3db_hz: half.width(),
            width_6db_hz: down_6.width(),
        }
    }
}

fn decibels(response: &Complex64) -> f64 {
    10.0 * response.norm_sqr().log10()
}
