//! One circuit under study: equations, poles and a sweep, shared by all figures.

use super::Curve;
use crate::ac::Solver;
use crate::poles::{Root, poles, zeros};
use crate::state_space::StateSpace;
use crate::system::{System, Unsolvable};
use crate::{Circuit, NodeId};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// A circuit and what is known about it so far.
pub struct Study<'a> {
    circuit: &'a Circuit,
    solver: Solver<'a>,
    space: StateSpace,
    poles: Vec<Root>,
    curve: Option<Curve>,
}

impl<'a> Study<'a> {
    /// Starts the study of `circuit`, whose equations are `system`.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular or the poles do not settle.
    pub fn new(circuit: &'a Circuit, system: &'a System) -> Result<Self, Unsolvable> {
        let space = StateSpace::reduce(system)?;
        let poles = poles(&space)?;
        Ok(Study {
            circuit,
            solver: Solver::new(system)?,
            space,
            poles,
            curve: None,
        })
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &'a Circuit {
        self.circuit
    }

    /// Its equations.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.solver.system()
    }

    /// Its solver.
    pub fn solver(&mut self) -> &mut Solver<'a> {
        &mut self.solver
    }

    /// Its state space.
    #[must_use]
    pub fn space(&self) -> &StateSpace {
        &self.space
    }

    /// Its finite poles, slowest first.
    #[must_use]
    pub fn poles(&self) -> &[Root] {
        &self.poles
    }

    /// Whether every free motion dies out.
    #[must_use]
    pub fn is_stable(&self) -> bool {
        self.poles.iter().all(|p| p.re_rad_s < 0.0)
    }

    /// The finite zeros from the source to the output, slowest first.
    ///
    /// # Errors
    /// [`Unsolvable`] when the output never sees the source, or the zeros do not settle.
    pub fn zeros(&self) -> Result<Vec<Root>, Unsolvable> {
        zeros(self.system(), self.circuit.output)
    }

    /// Gain from the open-circuit source voltage to the output at `f_hz`. At an undamped
    /// resonance, where there is none, the gain one part in 10⁹ beside it.
    pub fn gain(&mut self, f_hz: f64) -> Complex64 {
        self.gain_to(self.circuit.output, f_hz)
    }

    /// The same to any node.
    pub fn gain_to(&mut self, node: NodeId, f_hz: f64) -> Complex64 {
        self.factor(f_hz);
        let index = self.system().voltage(node);
        let x = self.solver.forward();
        index.map_or(Complex64::ZERO, |k| x[k])
    }

    /// `|H|²` at the output.
    pub fn power(&mut self, f_hz: f64) -> f64 {
        self.gain(f_hz).norm_sqr()
    }

    /// Gain and its derivative with respect to `s`.
    pub fn gain_and_slope(&mut self, f_hz: f64) -> (Complex64, Complex64) {
        let s = Complex64::new(0.0, TAU * f_hz);
        let output = self.circuit.output;
        self.solver
            .transfer_and_slope(s, output)
            .or_else(|_| self.solver.transfer_and_slope(beside(s), output))
            .unwrap_or((Complex64::ZERO, Complex64::ZERO))
    }

    /// Factors at `f_hz`, or just beside it where the circuit resonates undamped.
    pub(crate) fn factor(&mut self, f_hz: f64) {
        let s = Complex64::new(0.0, TAU * f_hz);
        if self.solver.factor(s).is_err() {
            // Two poles within 1e-9 of each other on the axis are beyond any circuit.
            let _ = self.solver.factor(beside(s));
        }
    }

    /// The output's response over the audio band, sampled once.
    pub fn curve(&mut self) -> Curve {
        if let Some(curve) = &self.curve {
            return curve.clone();
        }
        let curve = Curve::sample(Curve::frequencies(&self.poles, &[]), |f| self.power(f));
        self.curve = Some(curve.clone());
        curve
    }
}

fn beside(s: Complex64) -> Complex64 {
    s * (1.0 + 1e-9) + 1e-9 * s.norm()
}
