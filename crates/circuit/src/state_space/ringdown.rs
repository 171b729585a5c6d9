//! What is left of a tone after it is cut, stepped exactly.
//!
//! A settled tone `e^{jωt}` cut at t = 0 leaves `z(t) = C e^{At} x0`, `x0 = (jωI − A)⁻¹ B`; the same
//! tone switched on at t = 0 gives `H e^{jωt} − z(t)`. No diagonalisation: equal stages have
//! equal poles. The grid steps `h = 1/(32 f)`, so that the ripple at twice the pitch, which
//! the poles at negative frequency make, is seen.
//!
//! Fast motions (amplifier poles) are over after one step: the range of `P = e^{Ah}`, to 1e-10,
//! is all that later steps need, and `Qᵀ P Q` on it steps with few states.
//!
//! How far to look: with the sums over all later samples `E = Σ|z|²` and
//! `E' = Σ|e^{−jωh} z₊ − z|²`, every later sample obeys `|z|² ≤ 2 √(E E')` (sum the differences of
//! `|z|²` and apply Cauchy–Schwarz). Both sums are quadratic forms in the state, found by
//! doubling `W ← W + PᵀWP, P ← P²` [SMITH1968; from
//! memory]. The bound falls with time, so its last crossing is found by halving, and the last
//! true crossing is looked for backwards from there.
//!
//! A supersonic resonance turns between two samples. Where one may still lift the envelope at the
//! crossing, or over the greatest rise, the same is looked at on a grid of its own
//! ([`Ripple`]); only then, since ten times the steps take ten times as long.
//!
//! `filter::bandpass::KeyedTone` finds the same tails from known poles and residues, fast enough
//! for a search; nothing is shared, so that the plan and the circuit judge each other.
//!
//! Accuracy: crossings to about a nanosecond where the envelope falls steadily; amplifier poles
//! near 1e10 rad/s cost the slow ones digits (ε ‖A‖ t): of two hundred boards that were planned
//! from needs drawn at random the worst was 44 ns off. Tops between two samples of the grid are
//! looked at closely where they come within a hundredth of the level.

use super::{Ripple, StateSpace};
use crate::NodeId;
use nalgebra::{DMatrix, DVector, Dyn, OMatrix, RowDVector, U2};
use num_complex::Complex64;
use numeric::DyadicExponential;
use std::f64::consts::TAU;

/// A complex state: real and imaginary part side by side.
type State = OMatrix<f64, Dyn, U2>;

/// What no figure shows: a millionth of the lower level.
const UNSEEN: f64 = 1e-8;

/// Share of a level from which a top between samples is looked at closely.
const NEARLY: f64 = 0.99;

/// Halvings of the step for that look.
const CLOSER: usize = 5;

/// Levels of bisection below the grid.
const FINER: usize = 16;

/// What a cut tone leaves at one node.
pub struct Ringdown {
    omega: f64,
    step: f64,
    settled: Complex64,
    fine: DyadicExponential,
    /// Level of `fine` that is one grid step.
    grid: usize,
    c: RowDVector<f64>,
    start: State,
    basis: DMatrix<f64>,
    slow_c: RowDVector<f64>,
    /// State after one step, in the slow basis.
    slow_start: State,
    /// `(QᵀPQ)^(2^k)`.
    powers: Vec<DMatrix<f64>>,
    energy: DMatrix<f64>,
    /// The same on a grid fine enough for the ripples, if they may be seen.
    finer: Option<Box<Finer>>,
}

/// A finer grid and how long it is needed.
struct Finer {
    ringdown: Ringdown,
    /// The time from which no ripple lifts the envelope by a millionth of a hundredth, s.
    until: f64,
}

impl Ringdown {
    /// The ring-down at `node` of a tone of `pitch_hz` whose settled phasor there is `settled`,
    /// `ripples` being pole pairs that may ring beside it.
    /// `None` when a motion does not die out within about 2⁴⁰ steps.
    #[must_use]
    pub fn new(
        space: &StateSpace,
        node: NodeId,
        pitch_hz: f64,
        settled: Complex64,
        ripples: &[Ripple],
    ) -> Option<Self> {
        let step = 1.0 / (32.0 * pitch_hz);
        let mut ringdown = Self::on_grid(space, node, pitch_hz, settled, step)?;
        let fast = ripples.iter().filter(|r| r.is_fast(ringdown.omega));
        let fast: Vec<Ripple> = fast.copied().collect();
        if ringdown.hides(&fast) {
            let steps = fast.iter().map(|r| r.step(step));
            let finest = steps.fold(step, f64::min);
            let until = fast
                .iter()
                .map(|r| (r.amplitude / UNSEEN).ln() / r.decay_per_s);
            ringdown.finer = Some(Box::new(Finer {
                ringdown: Self::on_grid(space, node, pitch_hz, settled, finest)?,
                until: until.fold(0.0, f64::max),
            }));
        }
        Some(ringdown)
    }

    /// Whether what lies between the samples may hide a later crossing or a greater rise: ripples
    /// alive at the tail's end, or able to lift a sample over the greatest.
    fn hides(&self, fast: &[Ripple]) -> bool {
        let lift = |t: f64| fast.iter().map(|r| r.at(t)).sum::<f64>();
        if lift(0.0) < UNSEEN {
            return false;
        }
        // The later level asks for less; the earlier is at an earlier time.
        let tails = [0.1, 0.01].map(|level| (level, self.last_on_grid(level)));
        if tails.iter().any(|&(level, t)| lift(t) > 1e-6 * level) {
            return true;
        }
        let settled = self.settled();
        let greatest = self.rise_on_grid(f64::INFINITY);
        let mut rotation = Complex64::ONE;
        let mut state = self.slow_start.clone();
        let first = (self.settled - see(&self.c, &self.start)).norm();
        let mut envelope = first / settled;
        for k in 0.. {
            let lifted = lift(k as f64 * self.step);
            if lifted < 1e-5 {
                return false;
            }
            if envelope + 2.0 * lifted > greatest {
                return true;
            }
            rotation *= Complex64::cis(-self.omega * self.step);
            envelope = (self.settled - rotation * see(&self.slow_c, &state)).norm() / settled;
            state = &self.powers[0] * state;
        }
        false
    }

    /// The same on a grid of that step alone, s.
    fn on_grid(
        space: &StateSpace,
        node: NodeId,
        pitch_hz: f64,
        settled: Complex64,
        step: f64,
    ) -> Option<Self> {
        let omega = TAU * pitch_hz;
        let c = space.c(node);
        let start = settled_state(space, omega)?;
        let fine = DyadicExponential::new(space.a(), step, FINER);
        let grid = fine.levels() - 1;
        let propagator = fine.power(grid);
        let basis = range(propagator);
        let slow = basis.transpose() * propagator * &basis;
        let slow_c = &c * &basis;
        let slow_start = basis.transpose() * (propagator * &start);
        let mut ringdown = Ringdown {
            omega,
            step,
            settled,
            fine,
            grid,
            c,
            start,
            basis,
            energy: slow_c.transpose() * &slow_c,
            slow_c,
            slow_start,
            powers: vec![slow],
            finer: None,
        };
        ringdown.double()?;
        Some(ringdown)
    }

    /// Sums the energy of all later samples and keeps the powers on the way.
    fn double(&mut self) -> Option<()> {
        for _ in 0..40 {
            let last = self.powers.last()?;
            if !self.energy.iter().all(|v| v.is_finite()) {
                return None;
            }
            if last.norm() < 1e-9 {
                return Some(());
            }
            self.energy += last.transpose() * &self.energy * last;
            self.powers.push(last * last);
        }
        None
    }

    /// The phasor's magnitude before the cut.
    #[must_use]
    pub fn settled(&self) -> f64 {
        self.settled.norm()
    }

    /// The last time at which the envelope reaches `level` of its settled value, s; 0 when it is
    /// below from the start.
    #[must_use]
    pub fn last_above(&self, level: f64) -> f64 {
        let seen = self.last_on_grid(level);
        match &self.finer {
            // What is seen on the grid is reached; what is missed can only be later.
            Some(finer) if seen < finer.until => finer.ringdown.last_on_grid(level),
            _ => seen,
        }
    }

    fn last_on_grid(&self, level: f64) -> f64 {
        let least = level * self.settled();
        let horizon = self.horizon(least);
        let mut window = 64;
        let mut to = horizon + 1;
        loop {
            let from = to.saturating_sub(window);
            if let Some(t) = self.last_within(from, to, least) {
                return t;
            }
            if from == 0 {
                break;
            }
            to = from;
            window *= 2;
        }
        if see(&self.c, &self.start).norm() >= least {
            self.refine(0.0, self.start.clone(), least)
        } else {
            0.0
        }
    }

    /// The last crossing that begins between the samples `from` and `to`, which come one step
    /// apart from one step on; the envelope is below `least` at `to`. Ripple may lift a top over
    /// the level between two samples below it.
    fn last_within(&self, from: usize, to: usize, least: f64) -> Option<f64> {
        let begin = from.saturating_sub(1);
        let mut state = self.slow_at(begin);
        let [mut older, mut before] = [state.clone(), state.clone()];
        let mut recent = [f64::INFINITY; 3];
        let mut above = None;
        let mut tops: Vec<(usize, State)> = Vec::new();
        for k in begin..=to {
            let seen = see(&self.slow_c, &state).norm();
            recent = [recent[1], recent[2], seen];
            if seen >= least {
                above = Some((k, state.clone()));
                tops.clear();
            }
            let [a, b, c] = recent;
            if a <= b && b >= c && b < least && top_of(recent) > NEARLY * least {
                tops.push((k - 2, older));
            }
            let next = &self.powers[0] * &state;
            older = std::mem::replace(&mut before, std::mem::replace(&mut state, next));
        }
        let hidden = tops.into_iter().rev().find_map(|(k, state)| {
            self.look_closer((k + 1) as f64 * self.step, &self.basis * state, least)
        });
        hidden.or_else(|| {
            let (k, state) = above.filter(|(k, _)| *k >= from)?;
            Some(self.refine((k + 1) as f64 * self.step, &self.basis * state, least))
        })
    }

    /// The last crossing within two steps after `t`, if the envelope comes up to `least` there.
    fn look_closer(&self, t: f64, mut state: State, least: f64) -> Option<f64> {
        let level = self.grid - CLOSER;
        let mut last = None;
        for k in 0..=2 << CLOSER {
            if see(&self.c, &state).norm() >= least {
                last = Some((k, state.clone()));
            }
            state = self.fine.power(level) * state;
        }
        let (k, state) = last?;
        Some(self.refine(t + k as f64 * self.fine.step(level), state, least))
    }

    /// Greatest excess of the envelope over its settled value after key-down, as a ratio ≥ 1.
    /// Excesses under one part in 10⁴ that come late may be missed.
    #[must_use]
    pub fn overshoot(&self) -> f64 {
        let seen = self.rise_on_grid(f64::INFINITY);
        match &self.finer {
            Some(finer) => seen.max(finer.ringdown.rise_on_grid(finer.until)),
            None => seen,
        }
    }

    /// The greatest rise among the samples up to a time, s.
    fn rise_on_grid(&self, until: f64) -> f64 {
        const MOST_STEPS: usize = 40_000;
        let settled = self.settled();
        let turn = Complex64::cis(-self.omega * self.step);
        let mut rotation = turn;
        let mut state = self.slow_start.clone();
        let mut recent = [0.0_f64; 3];
        let mut greatest = 1.0_f64;
        for k in 0..MOST_STEPS {
            let envelope = (self.settled - rotation * see(&self.slow_c, &state)).norm();
            recent = [recent[1], recent[2], envelope / settled];
            if k >= 2 {
                greatest = greatest.max(top_of(recent));
            }
            if k as f64 * self.step > until {
                break;
            }
            // Every 64 steps: nothing later can rise above what was seen.
            if k % 64 == 63 && self.bound(&state) / settled < (greatest - 1.0).max(1e-4) {
                break;
            }
            state = &self.powers[0] * state;
            rotation *= turn;
        }
        greatest
    }

    /// Envelope at each of `times` (rising), relative to the settled value; for charts.
    #[must_use]
    pub fn envelope(&self, times: &[f64]) -> Vec<f64> {
        times
            .iter()
            .map(|&t| self.at(t).norm() / self.settled())
            .collect()
    }

    /// `z(t)`, within one finest step of `t`.
    fn at(&self, t: f64) -> Complex64 {
        let steps = (t / self.step).floor();
        let mut state = if steps < 1.0 {
            self.start.clone()
        } else {
            &self.basis * self.slow_at(steps as usize - 1)
        };
        let mut left = t - steps * self.step;
        for level in (0..self.grid).rev() {
            if left >= self.fine.step(level) {
                left -= self.fine.step(level);
                state = self.fine.power(level) * state;
            }
        }
        see(&self.c, &state)
    }

    /// Slow state `steps` steps after the first.
    fn slow_at(&self, steps: usize) -> State {
        let mut state = self.slow_start.clone();
        for (level, power) in self.powers.iter().enumerate() {
            if steps >> level & 1 == 1 {
                state = power * state;
            }
        }
        // Beyond the last power everything is below 1e-9 of where it started.
        if steps >> self.powers.len() > 0 {
            state.fill(0.0);
        }
        state
    }

    /// The greatest magnitude any sample from this state on can have.
    fn bound(&self, state: &State) -> f64 {
        let (sin, cos) = (-self.omega * self.step).sin_cos();
        let next = &self.powers[0] * state;
        let mut difference = state.clone();
        for k in 0..state.nrows() {
            let (re, im) = (next[(k, 0)], next[(k, 1)]);
            difference[(k, 0)] = cos * re - sin * im - state[(k, 0)];
            difference[(k, 1)] = cos * im + sin * re - state[(k, 1)];
        }
        let form = |x: &State| (x.transpose() * &self.energy * x).trace().max(0.0);
        (2.0 * (form(state) * form(&difference)).sqrt()).sqrt()
    }

    /// Number of steps after the first from which on no sample reaches `least`.
    fn horizon(&self, least: f64) -> usize {
        let mut state = self.slow_start.clone();
        if self.bound(&state) < least {
            return 0;
        }
        let mut steps = 0;
        for (level, power) in self.powers.iter().enumerate().rev() {
            let further = power * &state;
            if self.bound(&further) >= least {
                state = further;
                steps += 1 << level;
            }
        }
        steps + 1
    }

    /// The crossing within one grid step after `t`, where `state` is at or above `least`.
    fn refine(&self, mut t: f64, mut state: State, least: f64) -> f64 {
        let mut here = see(&self.c, &state).norm();
        let mut next = here;
        for level in (0..self.grid).rev() {
            let further = self.fine.power(level) * &state;
            let magnitude = see(&self.c, &further).norm();
            if magnitude >= least {
                state = further;
                here = magnitude;
                t += self.fine.step(level);
            } else {
                next = magnitude;
            }
        }
        let last = self.fine.step(0);
        if next < here {
            t + last * ((here - least) / (here - next)).clamp(0.0, 1.0)
        } else {
            t
        }
    }
}

/// `(jωI − A)⁻¹ B`; `None` at a pole.
fn settled_state(space: &StateSpace, omega: f64) -> Option<State> {
    let n = space.order();
    let a = space.a();
    if n == 0 {
        // Resistors alone: nothing is left of a tone.
        return Some(State::zeros(0));
    }
    let matrix = DMatrix::from_fn(n, n, |i, j| {
        Complex64::new(-a[(i, j)], if i == j { omega } else { 0.0 })
    });
    let right: DVector<Complex64> = space.b().map(Complex64::from);
    let x = matrix.lu().solve(&right)?;
    Some(State::from_fn(
        n,
        |i, j| if j == 0 { x[i].re } else { x[i].im },
    ))
}

/// An orthonormal basis of the range of `p`, to 1e-10 of its greatest column.
fn range(p: &DMatrix<f64>) -> DMatrix<f64> {
    if p.is_empty() {
        return p.clone();
    }
    let qr = p.clone().col_piv_qr();
    let diagonal = qr.r().diagonal();
    let first = diagonal.iter().copied().next().unwrap_or(0.0).abs();
    let rank = diagonal.iter().filter(|d| d.abs() > 1e-10 * first).count();
    qr.q().columns(0, rank).into_owned()
}

fn see(c: &RowDVector<f64>, state: &State) -> Complex64 {
    let seen = c * state;
    Complex64::new(seen[0], seen[1])
}

/// Top of the parabola through three samples one step apart, or the greatest of them.
fn top_of([a, b, c]: [f64; 3]) -> f64 {
    if b >= a && b >= c && a + c < 2.0 * b {
        b + (a - c).powi(2) / (8.0 * (2.0 * b - a - c))
    } else {
        a.max(b).max(c)
    }
}
