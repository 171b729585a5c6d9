//! One time step: the trapezoidal rule to a middle point, then the two-step backward formula.
//!
//! ```text
//! C (z_γ − z_n) · 2/(γh) + F(z_γ, t+γh) + F(z_n, t) = 0
//! C (z_{n+1} − [z_γ − (1−γ)² z_n] / (γ(2−γ))) · (2−γ)/((1−γ)h) + F(z_{n+1}, t+h) = 0,
//! γ = 2 − √2
//! ```
//!
//! [BANK1985; HOSEA1996.] `F = G z + f(z) − b`.
//! With this γ both halves have the same Jacobian `J + α C`, `α = (2+√2)/h`. Second order,
//! L-stable: amplifier poles far beyond the step are damped, not rung. For a mode of
//! angular frequency ω the relative error of frequency and damping is about `0.04 (ωh)²`
//! (from the local error coefficient `(3γ²−4γ+2)/(12(2−γ)) = 0.040` of [HOSEA1996], recomputed).
//!
//! `F(z_n, t)` is carried as `−C dz/dt`. After a jump of the source the old `F` says
//! nothing: two backward Euler steps of a millionth of h find voltages and currents on the
//! far side.

use crate::dc::{Flow, GaveUp, Newton};
use crate::network::{Amplify, Factored, Held, IN_A_STEP, Network, Square};

/// Relative length of the step across a jump.
const JUMP_STEP: f64 = 1e-6;
/// Iterations with one factored Jacobian before a new one is made.
const CHORD_ITERATIONS: usize = 6;
/// Correction, V, at which a half step counts as solved: a nanovolt is −120 dB of a
/// millivolt, and the error does not grow with the number of steps.
const SOLVED: f64 = 1e-10;
/// The same relative to the value, for circuits with kilovolts on paper.
const SOLVED_RELATIVE: f64 = 1e-12;

/// Walks a nonlinear network through time.
pub(super) struct Stepper<'a> {
    network: &'a Network,
    newton: Newton<'a>,
    held: &'a [Held],
    /// Unknowns now.
    pub(super) z: Vec<f64>,
    /// `C dz/dt` now.
    slope: Vec<f64>,
    factored: Option<(f64, Factored)>,
    work: Work,
}

/// Work space, so that a step allocates nothing.
struct Work {
    known: Vec<f64>,
    residual: Vec<f64>,
    correction: Vec<f64>,
    middle: Vec<f64>,
    combined: Vec<f64>,
}

impl<'a> Stepper<'a> {
    pub(super) fn new(network: &'a Network, held: &'a [Held], rest: Vec<f64>) -> Self {
        let zeros = || vec![0.0; network.size()];
        Stepper {
            network,
            newton: Newton::new(network, Amplify::Full, held),
            held,
            z: rest,
            slope: zeros(),
            factored: None,
            work: Work {
                known: zeros(),
                residual: zeros(),
                correction: zeros(),
                middle: zeros(),
                combined: zeros(),
            },
        }
    }

    /// Goes to the far side of a jump; `source` is the voltage after it.
    pub(super) fn jump(&mut self, step: f64, source: f64) -> Result<(), GaveUp> {
        let rate = 1.0 / (step * JUMP_STEP);
        // The first reaches the far side; the second sees no jump any more, so that the
        // currents through capacitors are those of the far side too.
        for _ in 0..2 {
            self.work.known.fill(0.0);
            self.network.store(&self.z, rate, &mut self.work.known);
            let start = self.z.clone();
            self.z = self.half(rate, source, start)?;
        }
        self.refresh_slope(source);
        self.factored = None;
        Ok(())
    }

    /// One step with the source at `middle` volts at t + γh and at `end` at t + h.
    pub(super) fn advance(&mut self, step: f64, middle: f64, end: f64) -> Result<(), GaveUp> {
        let gamma = 2.0 - std::f64::consts::SQRT_2;
        let rate = (2.0 + std::f64::consts::SQRT_2) / step;
        // α C z_n + C dz_n/dt
        self.work.known.copy_from_slice(&self.slope);
        self.network.store(&self.z, rate, &mut self.work.known);
        let start = self.z.clone();
        self.work.middle = self.half(rate, middle, start)?;
        let far = 1.0 / (gamma * (2.0 - gamma));
        let near = (1.0 - gamma).powi(2) * far;
        for ((c, m), z) in self
            .work
            .combined
            .iter_mut()
            .zip(&self.work.middle)
            .zip(&self.z)
        {
            *c = far * m - near * z;
        }
        self.work.known.fill(0.0);
        self.network
            .store(&self.work.combined, rate, &mut self.work.known);
        let start = self.work.middle.clone();
        self.z = self.half(rate, end, start)?;
        self.refresh_slope(end);
        Ok(())
    }

    /// Solves `F(z) + rate·C z = known`: chord iterations on the last Jacobian, and
    /// damped Newton where those do not contract.
    fn half(&mut self, rate: f64, source: f64, start: Vec<f64>) -> Result<Vec<f64>, GaveUp> {
        if self
            .factored
            .as_ref()
            .is_none_or(|(at, _)| (at / rate - 1.0).abs() > 1e-12)
        {
            self.factor(rate, source, &start)?;
        }
        let mut z = start;
        let mut last = f64::INFINITY;
        for _ in 0..CHORD_ITERATIONS {
            self.chord_correction(rate, source, &z);
            let size = self.size_of_correction();
            for (x, c) in z.iter_mut().zip(&self.work.correction) {
                *x -= c;
            }
            let magnitude = z.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
            if self.network.is_linear() || size <= SOLVED + SOLVED_RELATIVE * magnitude {
                return Ok(z);
            }
            if size >= 0.5 * last || size.is_nan() {
                break;
            }
            last = size;
        }
        let flow = Flow {
            rate,
            known: &self.work.known,
        };
        let (z, _) = self.newton.solve(&self.z, source, Some(flow))?;
        self.factor(rate, source, &z)?;
        Ok(z)
    }

    /// What a step that fails is taken back to.
    pub(super) fn state(&self) -> (Vec<f64>, Vec<f64>) {
        (self.z.clone(), self.slope.clone())
    }

    /// Takes a step back.
    pub(super) fn restore(&mut self, z: Vec<f64>, slope: Vec<f64>) {
        self.z = z;
        self.slope = slope;
        self.factored = None;
    }

    fn factor(&mut self, rate: f64, source: f64, z: &[f64]) -> Result<(), GaveUp> {
        let mut jacobian = Square::zero(self.network.size());
        self.network.evaluate(
            z,
            Amplify::Full,
            self.held,
            source,
            &mut self.work.residual,
            Some(&mut jacobian),
        );
        jacobian.add_scaled(&self.network.storage, rate);
        let factored =
            Factored::of(&jacobian, IN_A_STEP).map_err(|s| GaveUp::Singular(s.unknown))?;
        self.factored = Some((rate, factored));
        Ok(())
    }

    fn chord_correction(&mut self, rate: f64, source: f64, z: &[f64]) {
        let residual = &mut self.work.residual;
        self.network
            .evaluate(z, Amplify::Full, self.held, source, residual, None);
        self.network.store(z, rate, residual);
        for (r, known) in residual.iter_mut().zip(&self.work.known) {
            *r -= known;
        }
        residual[0] = 0.0;
        if let Some((_, factored)) = &self.factored {
            factored.solve_into(residual, &mut self.work.correction);
        }
    }

    fn size_of_correction(&self) -> f64 {
        let correction = self.work.correction.iter().enumerate();
        correction
            .filter(|&(k, _)| self.network.is_voltage(k))
            .map(|(_, c)| c.abs())
            .fold(0.0, |m, x| if x > m || x.is_nan() { x } else { m })
    }

    /// `C dz/dt = −F(z, t)`.
    fn refresh_slope(&mut self, source: f64) {
        self.network.evaluate(
            &self.z,
            Amplify::Full,
            self.held,
            source,
            &mut self.slope,
            None,
        );
        self.slope.iter_mut().for_each(|x| *x = -*x);
    }
}
