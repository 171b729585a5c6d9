//! Least maximum of smooth pieces that come and go.
//!
//! Problem: minimise `Φ(x) = max_i f_i(x)`, where a *survey* at `x` finds which pieces
//! matter there (the peak of each lobe of an envelope, the edge of a stop band) and the
//! pieces are smooth at fixed places. Step: `d` minimises `max_i(f_i + g_i·d) + ½ dᵀ(H +
//! μI)d`, whose dual is a quadratic over the simplex solved two weights at a time; `H`
//! is the damped BFGS estimate of the Lagrangian's curvature, `μ` shrinks when the
//! model predicts well and grows when it does not (sequential quadratic programming for
//! minimax) [NOCEDAL, ch. 18, from memory]. Gradients are forward differences at
//! fixed places. Range: up to some twenty variables of order one. Bounded: by the
//! allowance of surveys, never by a clock; the same input gives the same path.

/// A function that is the greatest of some pieces.
pub trait Pieces {
    /// Where a piece is looked at.
    type Place: Clone;

    /// Every piece that is near the greatest at `x`, with its value.
    /// `None` when `x` is outside what the model describes.
    fn survey(&self, x: &[f64]) -> Option<Vec<(Self::Place, f64)>>;

    /// The pieces at given places, for a nearby `x`.
    fn values(&self, x: &[f64], places: &[Self::Place]) -> Option<Vec<f64>>;
}

/// Where the search ended.
#[derive(Debug, Clone)]
pub struct Lowest {
    /// The variables there.
    pub x: Vec<f64>,
    /// The greatest piece there.
    pub value: f64,
    /// Surveys spent.
    pub surveys: usize,
}

/// Step of the forward differences, for variables of order one.
const DIFFERENCE: f64 = 1e-7;

/// Below this predicted gain the point counts as lowest.
const LEAST_GAIN: f64 = 1e-10;

/// Longest step in any one variable.
const LONGEST_STEP: f64 = 0.4;

/// Searches from `start` with at most `allowance` surveys; `None` if `start` itself has no
/// survey.
pub fn minimax<P: Pieces>(problem: &P, start: &[f64], allowance: usize) -> Option<Lowest> {
    let mut x = start.to_vec();
    let mut pieces = problem.survey(&x)?;
    let mut value = greatest(&pieces);
    let mut surveys = 1;
    let mut curvature = Curvature::new(x.len());
    let mut damping = 1e-2;
    let mut fresh = true;
    while surveys < allowance {
        let places: Vec<P::Place> = pieces.iter().map(|(p, _)| p.clone()).collect();
        let Some(gradients) = differences(problem, &x, &places) else {
            break;
        };
        let levels: Vec<f64> = pieces.iter().map(|(_, f)| *f).collect();
        let mut moved = false;
        while surveys < allowance && damping < 1e7 {
            let (step, weights) = curvature.step(&levels, &gradients, damping);
            let model = (0..levels.len())
                .map(|i| levels[i] + dot(&gradients[i], &step))
                .fold(f64::NEG_INFINITY, f64::max);
            let hoped = value - model;
            if hoped < LEAST_GAIN {
                break;
            }
            let longest = step.iter().fold(0.0_f64, |m, d| m.max(d.abs()));
            if longest > LONGEST_STEP {
                damping = 4.0 * damping.max(1e-4);
                continue;
            }
            let local = Local {
                x: &x,
                value,
                places: &places,
                gradients: &gradients,
            };
            let tried = local.attempt(problem, &curvature, &step, damping, hoped);
            surveys += tried.surveys;
            let gain = tried.gain;
            if gain < 0.05 * hoped {
                damping = 5.0 * damping.max(1e-5);
                continue;
            }
            let Some(next) = tried.found else { break };
            if let Some(after) = differences(problem, &tried.x, &places) {
                let taken: Vec<f64> = tried.x.iter().zip(&x).map(|(a, b)| a - b).collect();
                curvature.learn(&taken, &weights, &gradients, &after);
            }
            if gain > 0.5 * hoped {
                damping = (damping * 0.2).max(1e-9);
            }
            (x, pieces, value) = (tried.x, next, value - gain);
            moved = true;
            break;
        }
        if moved {
            fresh = false;
        } else if fresh {
            break;
        } else {
            // The curvature learnt may be what stands in the way: forget it once.
            curvature = Curvature::new(x.len());
            damping = 1e-2;
            fresh = true;
        }
    }
    Some(Lowest { x, value, surveys })
}

/// What is known around the present point.
struct Local<'a, P: Pieces> {
    x: &'a [f64],
    value: f64,
    places: &'a [P::Place],
    gradients: &'a [Vec<f64>],
}

/// A step tried.
struct Tried<P: Pieces> {
    x: Vec<f64>,
    found: Option<Vec<(P::Place, f64)>>,
    gain: f64,
    surveys: usize,
}

impl<P: Pieces> Local<'_, P> {
    /// Tries a step; when it disappoints, also the step corrected to second order, which keeps
    /// the slopes but goes through the values met at the first trial.
    fn attempt(
        &self,
        problem: &P,
        curvature: &Curvature,
        step: &[f64],
        damping: f64,
        hoped: f64,
    ) -> Tried<P> {
        let first = self.look(problem, step, 1);
        if first.gain >= 0.3 * hoped {
            return first;
        }
        let Some(met) = problem.values(&first.x, self.places) else {
            return first;
        };
        let bent: Vec<f64> = met
            .iter()
            .zip(self.gradients)
            .map(|(m, g)| m - dot(g, step))
            .collect();
        let (again, _) = curvature.step(&bent, self.gradients, damping);
        let second = self.look(problem, &again, 2);
        if second.gain > first.gain {
            second
        } else {
            Tried {
                surveys: 2,
                ..first
            }
        }
    }

    fn look(&self, problem: &P, step: &[f64], surveys: usize) -> Tried<P> {
        let x: Vec<f64> = self.x.iter().zip(step).map(|(a, d)| a + d).collect();
        let found = problem.survey(&x);
        let gain = found
            .as_ref()
            .map_or(f64::NEG_INFINITY, |f| self.value - greatest(f));
        Tried {
            x,
            found,
            gain,
            surveys,
        }
    }
}

fn greatest<T>(pieces: &[(T, f64)]) -> f64 {
    pieces
        .iter()
        .map(|(_, f)| *f)
        .fold(f64::NEG_INFINITY, f64::max)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Gradient of every piece, one row a piece.
fn differences<P: Pieces>(problem: &P, x: &[f64], places: &[P::Place]) -> Option<Vec<Vec<f64>>> {
    let base = problem.values(x, places)?;
    let mut rows = vec![vec![0.0; x.len()]; places.len()];
    let mut beside = x.to_vec();
    for j in 0..x.len() {
        beside[j] = x[j] + DIFFERENCE;
        let moved = problem.values(&beside, places)?;
        beside[j] = x[j];
        for (row, (after, before)) in rows.iter_mut().zip(moved.iter().zip(&base)) {
            row[j] = (after - before) / DIFFERENCE;
        }
    }
    Some(rows)
}

/// Damped BFGS matrix of the Lagrangian.
struct Curvature {
    n: usize,
    h: Vec<Vec<f64>>,
}

impl Curvature {
    fn new(n: usize) -> Self {
        let mut h = vec![vec![0.0; n]; n];
        for (i, row) in h.iter_mut().enumerate() {
            row[i] = 0.1;
        }
        Self { n, h }
    }

    /// The step and the weight of each piece.
    fn step(&self, levels: &[f64], gradients: &[Vec<f64>], damping: f64) -> (Vec<f64>, Vec<f64>) {
        let factor = cholesky(&self.h, damping);
        let solved: Vec<Vec<f64>> = gradients.iter().map(|g| back_solve(&factor, g)).collect();
        let m = levels.len();
        let gram: Vec<Vec<f64>> = (0..m)
            .map(|i| (0..m).map(|j| dot(&gradients[i], &solved[j])).collect())
            .collect();
        let weights = simplex_quadratic(&gram, levels);
        let mut step = vec![0.0; self.n];
        for (w, s) in weights.iter().zip(&solved) {
            for (d, v) in step.iter_mut().zip(s) {
                *d -= w * v;
            }
        }
        (step, weights)
    }

    fn learn(&mut self, step: &[f64], weights: &[f64], before: &[Vec<f64>], after: &[Vec<f64>]) {
        let mut change = vec![0.0; self.n];
        for (w, (b, a)) in weights.iter().zip(before.iter().zip(after)) {
            for (c, (x, y)) in change.iter_mut().zip(b.iter().zip(a)) {
                *c += w * (y - x);
            }
        }
        let hs: Vec<f64> = self.h.iter().map(|row| dot(row, step)).collect();
        let shs = dot(step, &hs);
        let sy = dot(step, &change);
        if shs < 1e-18 {
            return;
        }
        // Powell's damping keeps the estimate positive.
        let theta = if sy >= 0.2 * shs {
            1.0
        } else {
            0.8 * shs / (shs - sy)
        };
        let r: Vec<f64> = change
            .iter()
            .zip(&hs)
            .map(|(y, h)| theta * y + (1.0 - theta) * h)
            .collect();
        let sr = dot(step, &r);
        for i in 0..self.n {
            for j in 0..self.n {
                self.h[i][j] += r[i] * r[j] / sr - hs[i] * hs[j] / shs;
            }
        }
    }
}

/// Lower factor of `h + damping·I`, floored so that it always exists.
fn cholesky(h: &[Vec<f64>], damping: f64) -> Vec<Vec<f64>> {
    let n = h.len();
    let mut l = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            if i == j {
                l[i][i] = (h[i][i] + damping - sum).max(1e-12).sqrt();
            } else {
                l[i][j] = (h[i][j] - sum) / l[j][j];
            }
        }
    }
    l
}

fn back_solve(l: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let n = right.len();
    let mut y = right.to_vec();
    for i in 0..n {
        for k in 0..i {
            y[i] -= l[i][k] * y[k];
        }
        y[i] /= l[i][i];
    }
    for i in (0..n).rev() {
        for k in i + 1..n {
            y[i] -= l[k][i] * y[k];
        }
        y[i] /= l[i][i];
    }
    y
}

/// Weights `w ≥ 0`, `Σw = 1` that minimise `½ wᵀGw − fᵀw`, by an active set.
fn simplex_quadratic(gram: &[Vec<f64>], levels: &[f64]) -> Vec<f64> {
    let m = levels.len();
    let best = (0..m)
        .max_by(|&a, &b| levels[a].total_cmp(&levels[b]))
        .unwrap_or(0);
    let mut w = vec![0.0; m];
    w[best] = 1.0;
    let mut active = vec![best];
    for _ in 0..20 * m {
        let Some(aim) = equal_slopes(gram, levels, &active) else {
            active.pop();
            continue;
        };
        // Walk towards the aim until a weight runs out.
        let blocked = active
            .iter()
            .zip(&aim)
            .filter(|(_, a)| **a <= 0.0)
            .map(|(&i, a)| (w[i] / (w[i] - a), i))
            .min_by(|x, y| x.0.total_cmp(&y.0));
        let stretch = blocked.map_or(1.0, |(t, _)| t.clamp(0.0, 1.0));
        for (&i, a) in active.iter().zip(&aim) {
            w[i] += stretch * (a - w[i]);
        }
        if let Some((_, i)) = blocked {
            w[i] = 0.0;
            active.retain(|&k| k != i);
            continue;
        }
        let slope = |k: usize| dot(&gram[k], &w) - levels[k];
        let common = slope(active[0]);
        let steepest = (0..m)
            .filter(|k| !active.contains(k))
            .min_by(|&a, &b| slope(a).total_cmp(&slope(b)));
        match steepest {
            Some(k) if slope(k) < common - 1e-12 => active.push(k),
            _ => break,
        }
    }
    w
}

/// Weights on the active pieces that make all their slopes equal; `None` when two of
/// them cannot be told apart.
fn equal_slopes(gram: &[Vec<f64>], levels: &[f64], active: &[usize]) -> Option<Vec<f64>> {
    let k = active.len();
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(k + 1);
    for &i in active {
        let mut row: Vec<f64> = active.iter().map(|&j| gram[i][j]).collect();
        row.extend([1.0, levels[i]]);
        rows.push(row);
    }
    let mut last = vec![1.0; k];
    last.extend([0.0, 1.0]);
    rows.push(last);
    for c in 0..=k {
        let pivot = (c..=k).max_by(|&a, &b| rows[a][c].abs().total_cmp(&rows[b][c].abs()))?;
        rows.swap(c, pivot);
        if rows[c][c].abs() < 1e-13 {
            return None;
        }
        for r in 0..=k {
            if r != c {
                let factor = rows[r][c] / rows[c][c];
                let source = rows[c].clone();
                for (value, from) in rows[r].iter_mut().zip(&source).skip(c) {
                    *value -= factor * from;
                }
            }
        }
    }
    Some((0..k).map(|i| rows[i][k + 1] / rows[i][i]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// max of three planes and a bowl; the least is known in closed form.
    struct Bowl;

    impl Pieces for Bowl {
        type Place = usize;

        fn survey(&self, x: &[f64]) -> Option<Vec<(usize, f64)>> {
            let values = self.values(x, &[0, 1])?;
            Some(vec![(0, values[0]), (1, values[1])])
        }

        fn values(&self, x: &[f64], places: &[usize]) -> Option<Vec<f64>> {
            // |x − (2,0)|² and |x + (2,0)|²/2: least maximum on the line between.
            let a = (x[0] - 2.0).powi(2) + x[1] * x[1];
            let b = 0.5 * ((x[0] + 2.0).powi(2) + x[1] * x[1]);
            Some(places.iter().map(|p| if *p == 0 { a } else { b }).collect())
        }
    }

    /// Closed form: `(x−2)² = (x+2)²/2` at `x = 6 − √32`.
    #[test]
    fn meets_the_crossing_of_two_bowls() {
        let found = minimax(&Bowl, &[1.0, 0.9], 200).expect("start is inside");
        let x = 6.0 - 32.0_f64.sqrt();
        assert!((found.x[0] - x).abs() < 1e-5, "{:?}", found.x);
        assert!((found.value - (x - 2.0).powi(2)).abs() < 1e-8);
        assert!(found.surveys < 60, "{}", found.surveys);
    }
}
