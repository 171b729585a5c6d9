//! What a stage is to do, and what an error costs.
//!
//! Relative errors `e` of ω0, Q, gain and null are weighed and combined:
//! [`Measure::Greatest`] takes the largest, [`Measure::Sum`] adds them. Near f0 the
//! response of a resonator moves by `2Q·Δf0/f0` as much as by `ΔQ/Q` (from
//! `H = 1/(1 + jQ(f/f0 − f0/f))`), so [`Weights::response`] weighs f0 with 2Q. The gain
//! of one stage may be anything between aim/slack and aim·slack at no cost, because the
//! rest of the chain makes up for it.

use crate::topology::{Drift, Reached, Window};
use crate::{Section, Shape};
use std::f64::consts::TAU;

/// What each relative error is multiplied by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Of the natural frequency.
    pub f0: f64,
    /// Of the quality factor.
    pub q: f64,
    /// Of the gain, beyond the slack.
    pub gain: f64,
    /// Of the frequency of the null.
    pub zero: f64,
}

impl Weights {
    /// Every error alike.
    pub const EQUAL: Weights = Weights {
        f0: 1.0,
        q: 1.0,
        gain: 1.0,
        zero: 1.0,
    };

    /// Errors as they move the response near f0: f0 by 2Q, Q and gain by 1, a null by
    /// `2fz²/|fz² − f0²|` (from the numerator `fz² − f²`), at most by 2Q.
    #[must_use]
    pub fn response(section: &Section) -> Weights {
        let f0 = match section.shape {
            Shape::FirstLowPass | Shape::FirstHighPass => 1.0,
            _ => (2.0 * section.q).max(1.0),
        };
        let zero = match section.shape {
            Shape::Notch { zero } => {
                let (pole, null) = (section.f0.0.powi(2), zero.0.powi(2));
                (2.0 * null / (null - pole).abs()).min(f0)
            }
            _ => f0,
        };
        Weights {
            f0,
            q: 1.0,
            gain: 1.0,
            zero,
        }
    }
}

/// How the weighed errors become one cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// The greatest of them.
    Greatest,
    /// Their sum.
    Sum,
}

/// What a stage is to do, and what an error costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// The section wanted.
    pub section: Section,
    /// Magnitude of the gain wanted.
    pub gain: f64,
    /// Factor by which the gain may be off at no cost, 1 for none; infinite where the
    /// gain does not matter.
    pub slack: f64,
    /// Weights of the errors.
    pub weights: Weights,
    /// How they are combined.
    pub measure: Measure,
}

impl Aim {
    /// The low-pass stage of the published search problems: natural angular frequency `w0`, rad/s,
    /// at cost `0.5|Δω|/ω0 + 0.5|ΔQ|`, the error of Q absolute and the gain free \[HORROCKS1993\].
    #[must_use]
    pub fn published_low_pass(w0: f64, q: f64) -> Self {
        Aim {
            section: Section {
                shape: Shape::LowPass,
                f0: units::Hertz(w0 / TAU),
                q,
            },
            gain: 1.0,
            slack: f64::INFINITY,
            weights: Weights {
                f0: 0.5,
                q: 0.5 * q,
                ..Weights::EQUAL
            },
            measure: Measure::Sum,
        }
    }

    /// An aim whose errors count as they move the response, with the gain free by `slack`.
    #[must_use]
    pub fn response(section: Section, gain: f64, slack: f64) -> Self {
        Aim {
            section,
            gain,
            slack,
            weights: Weights::response(&section),
            measure: Measure::Greatest,
        }
    }

    /// The aim moved against the drift, so that the real amplifier brings it back.
    #[must_use]
    pub(crate) fn against(mut self, drift: Drift) -> Self {
        self.section.f0.0 /= 1.0 + drift.f0;
        self.section.q /= 1.0 + drift.q;
        self
    }

    /// The cost of what was reached; infinite where values give no stage at all, such as one that
    /// oscillates so that it has no quality.
    #[must_use]
    pub fn cost(&self, reached: &Reached) -> f64 {
        let w = &self.weights;
        let errors = [
            w.f0 * relative(reached.w0, TAU * self.section.f0.0),
            w.q * self.q_error(reached.q),
            w.gain * self.gain_error(reached.gain.abs()),
            w.zero * self.zero_error(reached.wz),
        ];
        if errors.iter().any(|error| error.is_nan()) {
            return f64::INFINITY;
        }
        match self.measure {
            Measure::Greatest => errors.into_iter().fold(0.0, f64::max),
            Measure::Sum => errors.into_iter().sum(),
        }
    }

    /// The ranges outside which the cost is above `bound`: with either measure no single
    /// weighed error may exceed it.
    #[must_use]
    pub fn window(&self, bound: f64) -> Window {
        let w = &self.weights;
        let band = |wanted: f64, weight: f64| {
            let reach = bound / weight;
            ((wanted * (1.0 - reach)).max(0.0), wanted * (1.0 + reach))
        };
        let (least, _) = band(self.gain / self.slack, w.gain);
        let (_, most) = band(self.gain * self.slack, w.gain);
        let everything = (0.0, f64::INFINITY);
        Window {
            w0: band(TAU * self.section.f0.0, w.f0),
            q: if self.first_order() {
                everything
            } else {
                band(self.section.q, w.q)
            },
            gain: (least, most),
            wz: match self.section.shape {
                Shape::Notch { zero } => band(TAU * zero.0, w.zero),
                _ => everything,
            },
        }
    }

    fn first_order(&self) -> bool {
        matches!(
            self.section.shape,
            Shape::FirstLowPass | Shape::FirstHighPass
        )
    }

    fn q_error(&self, q: f64) -> f64 {
        if self.first_order() {
            0.0
        } else {
            relative(q, self.section.q)
        }
    }

    fn gain_error(&self, gain: f64) -> f64 {
        let (least, most) = (self.gain / self.slack, self.gain * self.slack);
        if gain < least {
            relative(gain, least)
        } else if gain > most {
            relative(gain, most)
        } else {
            0.0
        }
    }

    fn zero_error(&self, wz: Option<f64>) -> f64 {
        match (self.section.shape, wz) {
            (Shape::Notch { zero }, Some(wz)) => relative(wz, TAU * zero.0),
            (Shape::Notch { .. }, None) => f64::INFINITY,
            _ => 0.0,
        }
    }
}

fn relative(found: f64, wanted: f64) -> f64 {
    (found / wanted - 1.0).abs()
}
