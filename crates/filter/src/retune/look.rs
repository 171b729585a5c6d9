//! What is seen of variants far from the circuit as it is.
//!
//! As [`circuit::variants::Gauge`], by the same [`Survey`], but for resonances that move as far as is
//! asked for, and without the tail, which costs more than all the rest.

use super::Wanted;
use circuit::Circuit;
use circuit::figures::Study;
use circuit::poles::Root;
use circuit::system::{System, Unsolvable};
use circuit::variants::{Passband, Survey, Variants};
use num_complex::Complex64;

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
    /// Greatest gain, dB.
    pub peak_db: f64,
}

/// How far resonances are expected to move, as multiples of what they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Travel {
    /// Lowest natural frequency.
    pub lowest: f64,
    /// Highest natural frequency.
    pub highest: f64,
    /// Least bandwidth.
    pub narrowest: f64,
}

impl Travel {
    /// Towards another centre and width, with room on either side for what is tried on the way.
    #[must_use]
    pub fn towards(pitch_ratio: f64, width_ratio: f64) -> Self {
        Travel {
            lowest: pitch_ratio.min(1.0) / ROOM,
            highest: pitch_ratio.max(1.0) * ROOM,
            narrowest: (width_ratio / pitch_ratio).min(1.0) / ROOM,
        }
    }

    /// A decade either way, for bounds.
    #[must_use]
    pub fn decade() -> Self {
        Travel {
            lowest: 0.1,
            highest: 10.0,
            narrowest: 1.0,
        }
    }

    /// Where the poles may be.
    fn poles(self, now: &[Root]) -> Vec<Root> {
        let count = ((self.highest / self.lowest).ln() / STEP.ln()).ceil() as usize;
        let mut all = now.to_vec();
        for k in 0..=count {
            let ratio = self.lowest * (self.highest / self.lowest).powf(k as f64 / count as f64);
            for root in now.iter().filter(|r| r.is_pair()) {
                let s = Complex64::new(self.narrowest * root.re_rad_s, root.im_rad_s);
                all.push(Root::of(ratio * s));
            }
        }
        all
    }
}

/// Room either way about what is asked for.
const ROOM: f64 = 1.25;
/// Distance between the places at which poles are reckoned with, and what they may be beside.
const STEP: f64 = 1.2;
const BESIDE: f64 = 0.12;

/// A circuit whose variants are looked at.
pub struct Onlooker<'a>(Survey<'a>);

impl<'a> Onlooker<'a> {
    /// Prepares to look at variants of `circuit`, whose equations are `system`, with resonances
    /// that go as far as told.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular or the poles do not settle.
    pub fn new(circuit: &Circuit, system: &'a System, travel: Travel) -> Result<Self, Unsolvable> {
        let study = Study::new(circuit, system)?;
        let slowest = study.poles().iter().filter(|p| p.is_pair());
        let around_hz = slowest.map(|p| p.f_hz).next().unwrap_or(700.0);
        let poles = travel.poles(study.poles());
        Survey::new(circuit, system, &poles, BESIDE, around_hz).map(Onlooker)
    }

    /// The equations.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.0.batch().system()
    }

    /// Centre and width of every variant; `None` where an edge lies outside the band or there is
    /// no solution.
    #[must_use]
    pub fn bands(&self, variants: &Variants) -> Vec<Option<Band>> {
        let seen = self
            .0
            .look(variants, &[], |sight| Band::of(&sight.passband()));
        seen.into_iter().map(Option::flatten).collect()
    }

    /// Every variant as it compares with what is wanted; `None` as in [`Onlooker::bands`].
    #[must_use]
    pub fn looks(&self, variants: &Variants, wanted: &Wanted) -> Vec<Option<Look>> {
        let mut f_hz = vec![wanted.pitch_hz];
        f_hz.extend_from_slice(&wanted.f_hz);
        let seen = self.0.look(variants, &f_hz, |sight| {
            let mut gains = sight.gains_db();
            Some(Look {
                band: Band::of(&sight.passband())?,
                gain_db: gains.next()?,
                curve_db: gains.collect(),
            })
        });
        seen.into_iter().map(Option::flatten).collect()
    }

    /// Gains of the circuit as it is, dB; empty where it has none.
    #[must_use]
    pub fn gains_db(&self, f_hz: &[f64]) -> Vec<f64> {
        let nominal = Variants::nominal(self.system());
        let mut seen = self.0.gains_db(&nominal, f_hz);
        seen.pop().flatten().unwrap_or_default()
    }
}

impl Band {
    fn of(passband: &Passband) -> Option<Self> {
        Some(Band {
            centre_hz: passband.centre_hz?,
            width_hz: passband.width_6db_hz?,
            peak_db: passband.peak_db,
        })
    }
}
