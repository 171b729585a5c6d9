//! Equiripple phase: a delay that is constant within a stated phase error.
//!
//! Equation: the lag `φ(ω)` of an all-pole filter departs from the line `τω` by ±δ in
//! turn at `n` successive frequencies, `n` being the order; with `τ = 1` this is `n`
//! equations in `n` pole coordinates, solved by Newton's method (each step corrected at
//! the extremes the error then has), from the filter whose lag is exact at equal steps
//! of frequency, and then scaled to 3.0103 dB at 1 rad/s [ULBRICH for the
//! equal ripple, tables in ZVEREV; from memory]. Symbols: `δ` phase error, rad. Range: order 2 to 10, 0.01 to 1 degree. Accuracy: ripple equal to 1e-9 of
//! itself. Edges: a solution is checked for `n` extremes before it is returned.

use num_complex::Complex64;
use numeric::polynomial_roots;

use super::{ApproximationRefused, Prototype, order_within};

const FAMILY: &str = "equiripple phase";

/// Most Newton steps for each part of the way; five are usual.
const MOST_STEPS: usize = 30;

/// Parts in which the heights of the extremes are brought from the guess's to equal.
const PARTS: i32 = 8;

/// The equiripple-phase prototype of the given order and phase error in degrees.
///
/// # Errors
/// When the order is not 2 to 10, the error not 0.01 to 1 degree, or the equations are not
/// solved.
pub fn equiripple_phase(order: usize, error_deg: f64) -> Result<Prototype, ApproximationRefused> {
    order_within(FAMILY, order, 2, 10)?;
    if !(0.01..=1.0).contains(&error_deg) {
        return Err(ApproximationRefused::PhaseError { error_deg });
    }
    let delta = error_deg.to_radians();
    let mut x = first_guess(order, delta);
    let uneven: Vec<f64> = {
        let poles = poles_of(&x, order);
        let at = |w: &f64| departure(&poles, *w).abs();
        extremes(&poles, order).iter().map(at).collect()
    };
    let mut left = f64::INFINITY;
    for part in 1..=PARTS {
        let share = f64::from(part) / f64::from(PARTS);
        let wanted: Vec<f64> = uneven
            .iter()
            .map(|e| e.powf(1.0 - share) * delta.powf(share))
            .collect();
        left = solve(&mut x, order, &wanted);
    }
    if left < 1e-9 * delta {
        return Ok(poles_of(&x, order).normalised());
    }
    Err(ApproximationRefused::Unsolved {
        family: FAMILY,
        order,
        residual: left / delta,
    })
}

/// Newton's method to given heights of the extremes; what is left of the equations.
fn solve(x: &mut Vec<f64>, order: usize, wanted: &[f64]) -> f64 {
    let mut left = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let (equations, places) = ripple_equations(x, order, wanted);
        if places.len() != order {
            return f64::INFINITY;
        }
        left = largest(&equations);
        if left < 1e-11 * wanted[0] {
            break;
        }
        let Some(step) = newton_step(x, &equations, &places, order) else {
            break;
        };
        *x = shortened(x, &step);
    }
    left
}

/// Free numbers: `ln σ, ω` of each pair, then `ln σ` of the real pole.
fn poles_of(x: &[f64], order: usize) -> Prototype {
    let pairs = (0..order / 2)
        .map(|k| Complex64::new(-x[2 * k].exp(), x[2 * k + 1]))
        .collect();
    let real = if order % 2 == 1 {
        vec![-x[order - 1].exp()]
    } else {
        vec![]
    };
    Prototype::new(pairs, real)
}

/// The filter whose lag is exact at equal steps, with its ripples as large as `delta` in the
/// geometric mean.
fn first_guess(order: usize, delta: f64) -> Vec<f64> {
    let mean = |step: f64| -> f64 {
        let poles = Prototype::from_all(&polynomial_roots(&exact_at_equal_steps(order, step)));
        let places = extremes(&poles, order);
        let sum: f64 = places
            .iter()
            .map(|w| departure(&poles, *w).abs().max(1e-300).ln())
            .sum();
        (sum / order as f64).exp()
    };
    let (mut low, mut high) = (0.05, 1.5);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if mean(middle) > delta {
            high = middle;
        } else {
            low = middle;
        }
    }
    let poles = Prototype::from_all(&polynomial_roots(&exact_at_equal_steps(order, low)));
    let mut x: Vec<f64> = poles
        .pairs()
        .iter()
        .flat_map(|p| [(-p.re).ln(), p.im])
        .collect();
    x.extend(poles.real().iter().map(|p| (-p).ln()));
    x
}

/// Coefficients, ascending, of the polynomial whose argument at `jkβ` is `kβ` for `k = 0…n`:
/// `A_{k+1} = A_k + tan²β/(β²(4k²−1)) · (s² + (kβ)²) A_{k−1}`, `A_0 = 1`,
/// `A_1 = 1 + s tan β/β` (found by solving the first orders by hand; as β → 0 it is the
/// recurrence of the Bessel polynomials).
fn exact_at_equal_steps(order: usize, beta: f64) -> Vec<f64> {
    let ratio = beta.tan() / beta;
    let mut before = vec![1.0];
    let mut now = vec![1.0, ratio];
    for k in 1..order {
        let k = k as f64;
        let weight = ratio * ratio / (4.0 * k * k - 1.0);
        let mut next = now.clone();
        next.resize(before.len() + 2, 0.0);
        for (i, c) in before.iter().enumerate() {
            next[i] += weight * (k * beta).powi(2) * c;
            next[i + 2] += weight * c;
        }
        before = now;
        now = next;
    }
    now
}

fn departure(poles: &Prototype, omega: f64) -> f64 {
    poles.lag(omega) - omega
}

/// `dφ/dω − 1`.
fn slope(poles: &Prototype, omega: f64) -> f64 {
    let real: f64 = poles
        .real()
        .iter()
        .map(|p| -p / (p * p + omega * omega))
        .sum();
    let term = |p: &Complex64, im: f64| -p.re / (p.re * p.re + (omega - im).powi(2));
    let pairs: f64 = poles
        .pairs()
        .iter()
        .map(|p| term(p, p.im) + term(p, -p.im))
        .sum();
    real + pairs - 1.0
}

/// Departure less its target at each extreme, and where the extremes are.
fn ripple_equations(x: &[f64], order: usize, wanted: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let poles = poles_of(x, order);
    let places = extremes(&poles, order);
    let equations = places
        .iter()
        .zip(wanted)
        .enumerate()
        .map(|(i, (&omega, height))| departure(&poles, omega) - target(i, places.len(), *height))
        .collect();
    (equations, places)
}

/// The last extreme is a lead of the line, the lag falling behind for good after it.
fn target(i: usize, count: usize, delta: f64) -> f64 {
    if (count - 1 - i).is_multiple_of(2) {
        delta
    } else {
        -delta
    }
}

/// The outermost `order` extremes of the departure, or as many as there are.
fn extremes(poles: &Prototype, order: usize) -> Vec<f64> {
    let last = poles.poles().iter().map(|p| p.norm()).fold(0.0, f64::max) + 4.0;
    let steps = 40 * (order + 4);
    let h = last / steps as f64;
    let mut found = Vec::new();
    for k in 0..steps {
        let (a, b) = (k as f64 * h, (k as f64 + 1.0) * h);
        if (slope(poles, a) > 0.0) != (slope(poles, b) > 0.0) {
            found.push(turning(poles, a, b));
        }
    }
    let spare = found.len().saturating_sub(order);
    found.split_off(spare)
}

fn turning(poles: &Prototype, from: f64, to: f64) -> f64 {
    let (mut a, mut b) = (from, to);
    let rising = slope(poles, a) > 0.0;
    for _ in 0..54 {
        let middle = 0.5 * (a + b);
        if (slope(poles, middle) > 0.0) == rising {
            a = middle;
        } else {
            b = middle;
        }
    }
    0.5 * (a + b)
}

/// `None` when the extremes are too few or the equations depend on each other.
fn newton_step(x: &[f64], equations: &[f64], places: &[f64], order: usize) -> Option<Vec<f64>> {
    if places.len() != order {
        return None;
    }
    let nudge = 1e-7;
    let base = poles_of(x, order);
    let mut rows: Vec<Vec<f64>> = vec![vec![0.0; order + 1]; order];
    for j in 0..order {
        let mut beside = x.to_vec();
        beside[j] += nudge;
        let moved = poles_of(&beside, order);
        for (row, &omega) in rows.iter_mut().zip(places) {
            row[j] = (moved.lag(omega) - base.lag(omega)) / nudge;
        }
    }
    for (row, e) in rows.iter_mut().zip(equations) {
        row[order] = -e;
    }
    eliminate(rows)
}

/// Solves a square system given by its augmented rows.
fn eliminate(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = rows.len();
    for c in 0..n {
        let pivot = (c..n).max_by(|&a, &b| rows[a][c].abs().total_cmp(&rows[b][c].abs()))?;
        rows.swap(c, pivot);
        let source = rows[c].clone();
        if source[c].abs() < 1e-14 {
            return None;
        }
        for (r, row) in rows.iter_mut().enumerate() {
            if r != c {
                let factor = row[c] / source[c];
                for (value, from) in row.iter_mut().zip(&source).skip(c) {
                    *value -= factor * from;
                }
            }
        }
    }
    Some((0..n).map(|i| rows[i][n] / rows[i][i]).collect())
}

/// The step, cut so that no number moves by more than a fifth and poles stay upper.
fn shortened(x: &[f64], step: &[f64]) -> Vec<f64> {
    let longest = largest(step);
    let cut = if longest > 0.2 { 0.2 / longest } else { 1.0 };
    x.iter().zip(step).map(|(v, d)| v + cut * d).collect()
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |m, v| m.max(v.abs()))
}
