//! The residuals about one point, taken as straight lines in the logarithms of the values.
//!
//! `r(x + d) ≈ r + J d`, hence `|r + J d|² = c + 2 pᵀd + dᵀG d` with `G = JᵀJ`, `p = Jᵀr`,
//! `c = |r|²`; its least value over some places, others moved by a given amount, is one small
//! symmetric system. With `λ diag G` added this is the damped least-squares step
//! [NOCEDAL, ch. 10; from memory].

use super::Place;
use super::bench::{Bench, Judge};

/// Step of the difference that gives a slope, as a share of the value: far above the noise of
/// interpolated figures (1e-6), far below what bends them.
const STEP: f64 = 1e-3;

/// The straight lines about one point.
#[derive(Debug, Clone)]
pub(super) struct Model {
    /// Places whose slopes are known.
    pub(super) members: Vec<usize>,
    gram: Vec<f64>,
    pull: Vec<f64>,
    constant: f64,
}

/// A point about which lines are wanted.
pub(super) struct About<'a> {
    pub(super) members: &'a [usize],
    pub(super) shifts: &'a [f64],
    pub(super) residuals: &'a [f64],
}

/// The models about several points at once.
pub(super) fn models<J: Judge>(bench: &Bench<'_, J>, points: &[About<'_>]) -> Vec<Model> {
    let columns = columns(bench, points);
    let pairs = points.iter().zip(columns);
    pairs.map(|(point, c)| Model::new(point, &c)).collect()
}

/// How every residual moves with the logarithm of every place's value, place by place; `None`
/// where the circuit as it is has no answer. A place whose variant has none does not move them.
pub fn slopes<J: Judge>(places: &[Place], judge: &J) -> Option<Vec<Vec<f64>>> {
    let bench = Bench::new(places, judge);
    let shifts = vec![0.0; places.len()];
    let residuals = bench.of_shifts(std::slice::from_ref(&shifts)).pop()??;
    let members: Vec<usize> = (0..places.len()).collect();
    let point = About {
        members: &members,
        shifts: &shifts,
        residuals: &residuals,
    };
    columns(&bench, &[point]).pop()
}

/// For every point and every member the slope of every residual, by a difference.
fn columns<J: Judge>(bench: &Bench<'_, J>, points: &[About<'_>]) -> Vec<Vec<Vec<f64>>> {
    let mut rows = Vec::new();
    for point in points {
        for &member in point.members {
            let mut row = point.shifts.to_vec();
            // Away from a bound that lies above, so that no value beyond it is asked for.
            row[member] += inward(bench, member, point.shifts[member]);
            rows.push(row);
        }
    }
    let mut verdicts = bench.of_shifts(&rows).into_iter();
    let mut column = |point: &About<'_>, member: usize| {
        let step = inward(bench, member, point.shifts[member]);
        let moved = verdicts.next().flatten();
        moved.map_or(vec![0.0; point.residuals.len()], |moved| {
            let pairs = moved.iter().zip(point.residuals);
            pairs
                .map(|(after, before)| (after - before) / step)
                .collect()
        })
    };
    let each = points.iter();
    each.map(|point| point.members.iter().map(|&m| column(point, m)).collect())
        .collect()
}

fn inward<J: Judge>(bench: &Bench<'_, J>, member: usize, shift: f64) -> f64 {
    let (_, high) = bench.places[member].bounds();
    if shift + STEP > high { -STEP } else { STEP }
}

impl Model {
    fn new(point: &About<'_>, columns: &[Vec<f64>]) -> Self {
        let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(x, y)| x * y).sum() };
        Model {
            members: point.members.to_vec(),
            gram: columns
                .iter()
                .flat_map(|a| columns.iter().map(|b| dot(a, b)).collect::<Vec<f64>>())
                .collect(),
            pull: columns.iter().map(|a| dot(a, point.residuals)).collect(),
            constant: dot(point.residuals, point.residuals),
        }
    }

    fn gram(&self, a: usize, b: usize) -> f64 {
        self.gram[a * self.members.len() + b]
    }

    /// Which way the error falls along a member: negative where a greater value lessens it.
    pub(super) fn pull(&self, member: usize) -> f64 {
        self.pull[member]
    }

    /// The moves of the members `free` (indices into [`Model::members`]) that lessen the error
    /// most while those of `set` are moved as told; `damping` is λ.
    pub(super) fn best(
        &self,
        free: &[usize],
        set: &[(usize, f64)],
        damping: f64,
    ) -> Option<Vec<f64>> {
        let largest = free.iter().map(|&a| self.gram(a, a)).fold(0.0, f64::max);
        let mut matrix = Vec::with_capacity(free.len() * free.len());
        for &a in free {
            for &b in free {
                let extra = if a == b {
                    damping * self.gram(a, a) + 1e-9 * largest
                } else {
                    0.0
                };
                matrix.push(self.gram(a, b) + extra);
            }
        }
        let right: Vec<f64> = free
            .iter()
            .map(|&a| {
                let told: f64 = set.iter().map(|&(b, d)| self.gram(a, b) * d).sum();
                -self.pull[a] - told
            })
            .collect();
        numeric::solve_positive_definite(&matrix, &right)
    }

    /// The error that the lines foretell for these moves.
    pub(super) fn error(&self, moves: &[(usize, f64)]) -> f64 {
        let linear: f64 = moves.iter().map(|&(a, d)| 2.0 * self.pull[a] * d).sum();
        let squares: f64 = moves
            .iter()
            .map(|&(a, x)| x * moves.iter().map(|&(b, y)| self.gram(a, b) * y).sum::<f64>())
            .sum();
        (self.constant + linear + squares).max(0.0).sqrt()
    }

    /// The least error foretold with `free` free and `set` as told.
    pub(super) fn least(&self, free: &[usize], set: &[(usize, f64)]) -> f64 {
        let moves = self.best(free, set, 1e-6).unwrap_or_default();
        let free = free.iter().copied().zip(moves);
        self.error(&set.iter().copied().chain(free).collect::<Vec<_>>())
    }
}
