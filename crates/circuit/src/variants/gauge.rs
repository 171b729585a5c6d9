//! The figures of many variants of one circuit, from one sweep of all of them.
//!
//! A [`Survey`] sees every variant as a whole response; the pitch and the neighbours are evaluated
//! as they are. The tail after key-up is the transform of the same samples ([`super::key_up`]).
//!
//! Range: variants whose resonances lie within about [`REACH`] of the nominal ones.
//! Accuracy there: edges and peak to 3e-4 of the width, its level to 1e-3 dB, tails to 10 µs, gains
//! as the solver gives them; held by tests against one study per variant.

use super::key_up::KeyUp;
use super::{Batch, Sight, Survey, Variants};
use crate::Circuit;
use crate::figures::Study;
use crate::system::{System, Unsolvable};

/// How far resonances may move from where the nominal circuit has them, as a share.
pub const REACH: f64 = 0.2;

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
    survey: Survey<'a>,
    key_up: KeyUp,
    /// The pitch, then the neighbours.
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
        circuit: &Circuit,
        system: &'a System,
        question: &Question,
    ) -> Result<Self, Unsolvable> {
        let pitch_hz = question.pitch_hz;
        assert!(pitch_hz > 0.0, "a pitch of {pitch_hz}");
        let study = Study::new(circuit, system)?;
        let survey = Survey::new(circuit, system, study.poles(), REACH, pitch_hz)?;
        let key_up = KeyUp::new(survey.grid(), study.poles(), pitch_hz);
        let beside = question
            .offsets_hz
            .iter()
            .map(|offset| (pitch_hz + offset).abs());
        Ok(Gauge {
            survey,
            key_up,
            f_hz: std::iter::once(pitch_hz).chain(beside).collect(),
        })
    }

    /// The solver behind it.
    #[must_use]
    pub fn batch(&self) -> &Batch<'a> {
        self.survey.batch()
    }

    /// The readings of every variant, in their order; `None` where one has no solution at some
    /// frequency.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn read(&self, variants: &Variants) -> Vec<Option<Reading>> {
        self.survey
            .look(variants, &self.f_hz, |sight| self.reading(sight))
    }

    /// Gain of every variant at frequencies of one's own, dB; `None` for a variant without a
    /// solution.
    ///
    /// # Panics
    /// When a varying parameter is not one of the circuit's.
    #[must_use]
    pub fn gains_db(&self, variants: &Variants, f_hz: &[f64]) -> Vec<Option<Vec<f64>>> {
        self.survey.gains_db(variants, f_hz)
    }

    fn reading(&self, sight: &Sight<'_>) -> Reading {
        let passband = sight.passband();
        let mut gains = sight.gains_db();
        let gain_at_pitch_db = gains.next().unwrap_or(f64::NEG_INFINITY);
        Reading {
            gain_at_pitch_db,
            peak_db: passband.peak_db,
            peak_hz: passband.peak_hz,
            centre_hz: passband.centre_hz,
            width_3db_hz: passband.width_3db_hz,
            width_6db_hz: passband.width_6db_hz,
            down_db: gains.map(|gain| gain_at_pitch_db - gain).collect(),
            tail_20db_s: self.key_up.last_above(0.1, sight.swept(), sight.asked()[0]),
        }
    }
}
