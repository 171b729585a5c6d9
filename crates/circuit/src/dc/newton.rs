//! Newton's method with damping, for one instant of the circuit.
//!
//! Solves `F(z) = G z + f(z) − b + α C (z − z*) = 0`; α is 0 for a point of rest and the
//! reciprocal of the (effective) step when a time step is taken. A step is shortened until
//! the natural monotonicity test holds: the next simplified Newton correction, from the
//! Jacobian already factored, must shrink. [DEUFLHARD2004, ch. 3] The test compares corrections, not residuals, so it does not mind
//! that some rows are in amperes and some in volts. Converged when a full correction is
//! under 1 nV + 1e-9 of the value; it is then applied, which squares the error once more.

use crate::network::{AT_REST, Amplify, Factored, Held, IN_A_STEP, Network, Square};

/// Iterations allowed. Linear circuits take one, a diode about ten.
const MOST_ITERATIONS: usize = 80;
/// Shortest share of a correction that is tried.
const LEAST_SHARE: f64 = 1.0 / 4096.0;
/// Correction under which an unknown counts as found, absolute (V) and relative.
const CLOSE: (f64, f64) = (1e-9, 1e-9);
/// The same for a current, A: wires side by side share theirs no better than this, and
/// what a current does to a voltage is seen there.
const CLOSE_CURRENT: f64 = 1e-7;
/// Ohms that make a current comparable to a voltage: a small-signal circuit's milliampere
/// counts as a volt.
const OHMS_PER_VOLT: f64 = 1e3;

/// The storage term of a time step: `α C (z − z*)`, with `C z*` multiplied out already.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow<'a> {
    /// `α`, 1/s.
    pub(crate) rate: f64,
    /// `α C z*` and whatever else of the step is known beforehand; subtracted from F.
    pub(crate) known: &'a [f64],
}

/// Why Newton's method gave up, with the unknown to blame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum GaveUp {
    /// The Jacobian is singular there.
    Singular(usize),
    /// No convergence; this unknown moved most in the last correction.
    NotConverged(usize),
    /// Not a finite number.
    Overflow,
}

/// One problem and its work space.
#[derive(Debug)]
pub(crate) struct Newton<'a> {
    network: &'a Network,
    amplify: Amplify,
    held: &'a [Held],
    jacobian: Square,
    residual: Vec<f64>,
}

impl<'a> Newton<'a> {
    pub(crate) fn new(network: &'a Network, amplify: Amplify, held: &'a [Held]) -> Self {
        Newton {
            network,
            amplify,
            held,
            jacobian: Square::zero(network.size()),
            residual: vec![0.0; network.size()],
        }
    }

    /// Solves from `start`; the count of iterations comes with the solution.
    pub(crate) fn solve(
        &mut self,
        start: &[f64],
        source: f64,
        flow: Option<Flow<'_>>,
    ) -> Result<(Vec<f64>, usize), GaveUp> {
        let mut z = start.to_vec();
        let mut share = 1.0_f64;
        let mut worst = 0;
        for iteration in 1..=MOST_ITERATIONS {
            let factored = self.linearise(&z, source, flow)?;
            let step = self.correction(&factored)?;
            worst = self.greatest(&step);
            if self.is_close(&step, &z) {
                add(&mut z, &step, 1.0);
                return Ok((z, iteration));
            }
            let length = self.length(&step);
            share = (4.0 * share).min(1.0);
            loop {
                let mut trial = z.clone();
                add(&mut trial, &step, share);
                self.evaluate(&trial, source, flow, false);
                let shrinks = self
                    .correction(&factored)
                    .is_ok_and(|next| self.length(&next) <= (1.0 - 0.25 * share) * length);
                if shrinks || share < LEAST_SHARE {
                    z = trial;
                    break;
                }
                share *= 0.5;
            }
        }
        Err(GaveUp::NotConverged(worst))
    }

    fn linearise(
        &mut self,
        z: &[f64],
        source: f64,
        flow: Option<Flow<'_>>,
    ) -> Result<Factored, GaveUp> {
        self.evaluate(z, source, flow, true);
        if self.residual.iter().any(|r| !r.is_finite()) {
            return Err(GaveUp::Overflow);
        }
        let least_pivot = if flow.is_some() { IN_A_STEP } else { AT_REST };
        Factored::of(&self.jacobian, least_pivot).map_err(|s| GaveUp::Singular(s.unknown))
    }

    fn evaluate(&mut self, z: &[f64], source: f64, flow: Option<Flow<'_>>, slopes: bool) {
        let jacobian = slopes.then_some(&mut self.jacobian);
        self.network.evaluate(
            z,
            self.amplify,
            self.held,
            source,
            &mut self.residual,
            jacobian,
        );
        if let Some(flow) = flow {
            self.network.store(z, flow.rate, &mut self.residual);
            for (r, known) in self.residual.iter_mut().zip(flow.known) {
                *r -= known;
            }
            if slopes {
                self.jacobian.add_scaled(&self.network.storage, flow.rate);
            }
        }
        self.residual[0] = 0.0;
    }

    /// `−J⁻¹ F` at the last evaluation.
    fn correction(&self, factored: &Factored) -> Result<Vec<f64>, GaveUp> {
        let mut step = factored.solve(&self.residual);
        step.iter_mut().for_each(|x| *x = -*x);
        if step.iter().all(|x| x.is_finite()) {
            Ok(step)
        } else {
            Err(GaveUp::Overflow)
        }
    }

    fn weight(&self, unknown: usize) -> f64 {
        self.network.weight(unknown)
    }

    fn length(&self, step: &[f64]) -> f64 {
        let square = |(k, x): (usize, &f64)| (x * self.weight(k)).powi(2);
        step.iter().enumerate().map(square).sum::<f64>().sqrt()
    }

    fn greatest(&self, step: &[f64]) -> usize {
        let size = |k: &usize| (step[*k] * self.weight(*k)).abs();
        (0..step.len())
            .max_by(|a, b| size(a).total_cmp(&size(b)))
            .unwrap_or(0)
    }

    fn is_close(&self, step: &[f64], z: &[f64]) -> bool {
        (0..step.len()).all(|k| {
            let absolute = if self.network.is_voltage(k) {
                CLOSE.0
            } else {
                CLOSE_CURRENT
            };
            step[k].abs() <= absolute + CLOSE.1 * z[k].abs()
        })
    }
}

impl Network {
    /// What makes an unknown comparable to a volt.
    pub(crate) fn weight(&self, unknown: usize) -> f64 {
        if self.is_voltage(unknown) {
            1.0
        } else {
            OHMS_PER_VOLT
        }
    }
}

fn add(z: &mut [f64], step: &[f64], share: f64) {
    for (target, x) in z.iter_mut().zip(step) {
        *target += share * x;
    }
}
