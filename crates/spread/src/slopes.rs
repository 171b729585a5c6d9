//! How every figure moves with every part, to first order, and what follows from it.
//!
//! Slopes are differences of the figures themselves, half a tolerance to either side:
//! `S_i = (g(+h) − g(−h))/2h` with `h = tolerance/2` of part `i` (figure per share of the value); what
//! curves within the tolerance is thereby taken at its mean. Exact where a figure is linear in each
//! part; its remainder is of third order in the tolerance.
//!
//! - Share of a part in a figure's variance: `(S_i σ_i)²` of the variance found by trials. Curvature
//!   and what bags share is the rest, and belongs to the parts together.
//! - Worst case: [`crate::corners`] starts where the slopes point.

use crate::Lot;

/// Slopes of all figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Slopes {
    figures: usize,
    /// Figures of the box with the printed values.
    nominal: Vec<f64>,
    /// `d figure / d ln value`, place by place, all figures of each.
    of: Vec<f64>,
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
}
