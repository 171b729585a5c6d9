//! The figures of a build as a row of numbers, in a fixed order.

use crate::Builds;
use circuit::Circuit;
use circuit::system::{System, Unsolvable};
use circuit::variants::{Gauge, Question, Reading};

/// One figure of a build; [`Meter`] gives all of them, neighbours last and in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Gain at the pitch, dB.
    GainAtPitch,
    /// How much higher than at the pitch the gain is at its peak, dB.
    OffPeak,
    /// Centre of the half-power band, Hz.
    Centre,
    /// Width at half power, Hz.
    Width3db,
    /// Width 6 dB down, Hz.
    Width6db,
    /// Tail to 20 dB down, s.
    Tail,
    /// How far down a neighbour is, dB.
    Neighbour(usize),
}

impl Figure {
    /// Those that every build has.
    pub const ALWAYS: [Figure; 6] = [
        Figure::GainAtPitch,
        Figure::OffPeak,
        Figure::Centre,
        Figure::Width3db,
        Figure::Width6db,
        Figure::Tail,
    ];

    /// Its place in a row.
    #[must_use]
    pub fn place(self) -> usize {
        match self {
            Figure::GainAtPitch => 0,
            Figure::OffPeak => 1,
            Figure::Centre => 2,
            Figure::Width3db => 3,
            Figure::Width6db => 4,
            Figure::Tail => 5,
            Figure::Neighbour(k) => 6 + k,
        }
    }
}

/// Reads the figures of builds of one circuit.
pub struct Meter<'a> {
    gauge: Gauge<'a>,
    builds: &'a Builds,
    figures: Vec<Figure>,
}

impl<'a> Meter<'a> {
    /// A meter for builds of `circuit`, whose equations are `system`.
    ///
    /// # Errors
    /// As [`Gauge::new`].
    pub fn new(
        circuit: &'a Circuit,
        system: &'a System,
        builds: &'a Builds,
        question: &Question,
    ) -> Result<Self, Unsolvable> {
        let mut figures = Figure::ALWAYS.to_vec();
        figures.extend((0..question.offsets_hz.len()).map(Figure::Neighbour));
        Ok(Meter {
            gauge: Gauge::new(circuit, system, question)?,
            builds,
            figures,
        })
    }

    /// What a row holds, in its order.
    #[must_use]
    pub fn figures(&self) -> &[Figure] {
        &self.figures
    }

    /// Figures of builds, as [`crate::Judge`] wants them.
    #[must_use]
    pub fn read(&self, ratios: &[f64]) -> Vec<f64> {
        let count = self.figures.len();
        let read = self.gauge.read(&self.builds.variants(ratios));
        let mut rows = vec![f64::NAN; read.len() * count];
        for (row, reading) in rows.chunks_exact_mut(count).zip(&read) {
            if let Some(reading) = reading {
                for (value, &figure) in row.iter_mut().zip(&self.figures) {
                    *value = of(reading, figure).unwrap_or(f64::NAN);
                }
            }
        }
        rows
    }

    /// Gains of builds at frequencies of one's own, dB, build by build; builds without a solution
    /// are left out.
    #[must_use]
    pub fn gains_db(&self, ratios: &[f64], f_hz: &[f64]) -> Vec<Vec<f64>> {
        let all = self.gauge.gains_db(&self.builds.variants(ratios), f_hz);
        all.into_iter().flatten().collect()
    }
}

fn of(reading: &Reading, figure: Figure) -> Option<f64> {
    match figure {
        Figure::GainAtPitch => Some(reading.gain_at_pitch_db),
        Figure::OffPeak => {
            // A peak on the pitch is found to some rounding; nothing lies above it.
            let off = reading.peak_db - reading.gain_at_pitch_db;
            Some(if off < 0.0 { 0.0 } else { off })
        }
        Figure::Centre => reading.centre_hz,
        Figure::Width3db => reading.width_3db_hz,
        Figure::Width6db => reading.width_6db_hz,
        Figure::Tail => reading.tail_20db_s,
        Figure::Neighbour(k) => reading.down_db.get(k).copied(),
    }
}
