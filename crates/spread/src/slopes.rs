//! How every figure moves with every part, to first order, and what follows from it.
//!
//! Slopes are differences of the figures themselves, half a tolerance to either side:
//! `S_i = (g(+h) − g(−h))/2h` with `h = tolerance/2` of part `i` (figure per share of the value); what
//! curves within the tolerance is thereby taken at its mean. Exact where a figure is linear in each
//! part; its remainder is of third order in the tolerance.
//!
//! - Share of a part in a figure's variance: `(S_i σ_i)²` of the variance found by trials. Curvature
//!   and what bags share is the rest, and belongs to the parts together.
//! - Worst case: every part at the end of its tolerance that its slope points to. A figure that
//!   turns back within the tolerance can do worse inside; so the corner is evaluated, and held
//!   against the worst trial.

use crate::{FigureSpread, Lot};

/// Slopes of all figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Slopes {
    figures: usize,
    /// Figures of the box with the printed values.
    nominal: Vec<f64>,
    /// `d figure / d ln value`, place by place, all figures of each.
    of: Vec<f64>,
}

/// The worst case of one figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// The figure with every part at the end that lowers it; NaN where it is no more there.
    pub least: f64,
    /// With every part at the end that raises it.
    pub greatest: f64,
}

impl Corner {
    /// Whether a trial went further than the corner by more than a share of its width.
    #[must_use]
    pub fn is_exceeded_by(&self, spread: &FigureSpread) -> bool {
        const ROUNDING: f64 = 1e-3;
        let slack = ROUNDING * (self.greatest - self.least).abs();
        spread
            .range()
            .is_some_and(|(low, high)| low < self.least - slack || high > self.greatest + slack)
    }
}

impl Slopes {
    /// Takes the slopes. `evaluate` as in [`crate::Judge`], with so many figures a build.
    #[must_use]
    pub fn take(lot: &Lot, figures: usize, evaluate: &dyn Fn(&[f64]) -> Vec<f64>) -> Self {
        let width = lot.places.len();
        let mut rows = vec![1.0; (2 * width + 1) * width];
        for (k, place) in lot.places.iter().enumerate() {
            let step = 0.5 * place.tolerance;
            rows[(2 * k + 1) * width + k] = 1.0 + step;
            rows[(2 * k + 2) * width + k] = 1.0 - step;
        }
        let found = evaluate(&rows);
        let figure = |row: usize, f: usize| found[row * figures + f];
        let slope = |k: usize, f: usize| {
            let tolerance = lot.places[k].tolerance;
            if tolerance > 0.0 {
                (figure(2 * k + 1, f) - figure(2 * k + 2, f)) / tolerance
            } else {
                0.0
            }
        };
        Slopes {
            figures,
            nominal: found[..figures].to_vec(),
            of: (0..width)
                .flat_map(|k| (0..figures).map(move |f| (k, f)))
                .map(|(k, f)| slope(k, f))
                .collect(),
        }
    }

    /// The figures of the box with the printed values.
    #[must_use]
    pub fn nominal(&self) -> &[f64] {
        &self.nominal
    }

    /// `d figure / d ln value`; NaN where the figure comes and goes.
    #[must_use]
    pub fn of(&self, place: usize, figure: usize) -> f64 {
        self.of[place * self.figures + figure]
    }

    /// Standard deviation of a figure if it were linear and no part knew of another.
    #[must_use]
    pub fn sigma(&self, lot: &Lot, figure: usize) -> f64 {
        let square =
            |(k, place): (usize, &crate::Place)| (self.of(k, figure) * place.sigma()).powi(2);
        lot.places
            .iter()
            .enumerate()
            .map(square)
            .sum::<f64>()
            .sqrt()
    }

    /// Share of every place in the variance `sigma²` that trials found of a figure.
    #[must_use]
    pub fn shares(&self, lot: &Lot, figure: usize, sigma: f64) -> Vec<f64> {
        let share = |(k, place): (usize, &crate::Place)| {
            (self.of(k, figure) * place.sigma() / sigma).powi(2)
        };
        lot.places.iter().enumerate().map(share).collect()
    }

    /// The worst cases of all figures, evaluated.
    #[must_use]
    pub fn corners(&self, lot: &Lot, evaluate: &dyn Fn(&[f64]) -> Vec<f64>) -> Vec<Corner> {
        let rows: Vec<f64> = (0..self.figures)
            .flat_map(|f| [self.corner(lot, f, -1.0), self.corner(lot, f, 1.0)])
            .flatten()
            .collect();
        let found = evaluate(&rows);
        let figure = |f: usize, end: usize| found[(2 * f + end) * self.figures + f];
        (0..self.figures)
            .map(|f| Corner {
                least: figure(f, 0).min(self.nominal[f]),
                greatest: figure(f, 1).max(self.nominal[f]),
            })
            .collect()
    }

    /// The parts at the ends that move a figure one way.
    fn corner(&self, lot: &Lot, figure: usize, way: f64) -> Vec<f64> {
        let towards = |slope: f64| {
            if slope == 0.0 || slope.is_nan() {
                0.0
            } else {
                (way * slope).signum()
            }
        };
        let mut row: Vec<f64> = (0..lot.places.len())
            .map(|k| 1.0 + lot.places[k].tolerance * towards(self.of(k, figure)))
            .collect();
        let with_warmth: f64 = (0..lot.places.len())
            .map(|k| self.of(k, figure) * lot.places[k].slope_per_kelvin)
            .filter(|s| s.is_finite())
            .sum();
        let (cold, warm) = lot.warmth_k;
        let kelvin = if towards(with_warmth) < 0.0 {
            cold
        } else {
            warm
        };
        lot.warm(kelvin, &mut row);
        row
    }
}
