//! A circuit's equations factored at one complex frequency after another.
//!
//! `x(s) = A(s)⁻¹ b` gives every voltage for 1 V at the source; `λ(s) = A(s)⁻ᵀ c` gives, for one
//! output, the effect of a unit on the right-hand side of every equation. Accuracy: see
//! [`numeric::SparseLu`]; where the order chosen at 700 Hz does not suit a frequency, it is
//! chosen anew there.

use crate::NodeId;
use crate::system::{System, Unsolvable};
use num_complex::Complex64;
use numeric::SparseLu;
use std::f64::consts::TAU;

/// Solves one circuit at any complex frequency.
pub struct Solver<'a> {
    system: &'a System,
    at: Vec<(usize, usize)>,
    values: Vec<Complex64>,
    lu: SparseLu,
    forward: Vec<Complex64>,
    adjoint: Vec<Complex64>,
}

impl<'a> Solver<'a> {
    /// Chooses the elimination order for `system`.
    ///
    /// # Errors
    /// [`Unsolvable::Undetermined`] naming what nothing fixes.
    pub fn new(system: &'a System) -> Result<Self, Unsolvable> {
        let at: Vec<(usize, usize)> = system.entries().iter().map(|e| e.at).collect();
        let mut values = vec![Complex64::ZERO; at.len()];
        // Beside the axis, so that no resonance of the circuit is met by chance.
        fill(&mut values, system, Complex64::new(300.0, TAU * 700.0));
        let lu = SparseLu::analyse(system.size(), &at, &values)
            .map_err(|singular| Unsolvable::undetermined(system, &singular))?;
        let size = system.size();
        Ok(Solver {
            system,
            at,
            values,
            lu,
            forward: vec![Complex64::ZERO; size],
            adjoint: vec![Complex64::ZERO; size],
        })
    }

    /// The equations it solves.
    #[must_use]
    pub fn system(&self) -> &'a System {
        self.system
    }

    /// Factors at the complex frequency `s`, rad/s.
    ///
    /// # Errors
    /// [`Unsolvable::Resonance`] when `s` is a pole of the circuit.
    pub fn factor(&mut self, s: Complex64) -> Result<(), Unsolvable> {
        fill(&mut self.values, self.system, s);
        if self.lu.factor(&self.values).is_ok() {
            return Ok(());
        }
        self.lu = SparseLu::analyse(self.system.size(), &self.at, &self.values).map_err(|_| {
            Unsolvable::Resonance {
                f_hz: s.im.abs() / TAU,
            }
        })?;
        Ok(())
    }

    /// All unknowns for 1 V at the source, after [`Solver::factor`].
    pub fn forward(&mut self) -> &[Complex64] {
        self.forward.fill(Complex64::ZERO);
        self.forward[self.system.source_row()] = Complex64::ONE;
        self.lu.solve(&mut self.forward);
        &self.forward
    }

    /// The effect on `output` of a unit on the right of each equation, after
    /// [`Solver::factor`]. All zero when the output is a rail.
    pub fn adjoint(&mut self, output: NodeId) -> &[Complex64] {
        self.adjoint.fill(Complex64::ZERO);
        if let Some(index) = self.system.voltage(output) {
            self.adjoint[index] = Complex64::ONE;
            self.lu.solve_transposed(&mut self.adjoint);
        }
        &self.adjoint
    }

    /// Solution for any right-hand side, in place, after [`Solver::factor`].
    pub fn solve(&mut self, right: &mut [Complex64]) {
        self.lu.solve(right);
    }

    /// Solution of the transposed equations for any right-hand side, in place, after
    /// [`Solver::factor`].
    pub fn solve_transposed(&mut self, right: &mut [Complex64]) {
        self.lu.solve_transposed(right);
    }

    /// Voltage of `output` for 1 V at the source at the frequency `f_hz`.
    ///
    /// # Errors
    /// [`Unsolvable::Resonance`] when the circuit resonates undamped there.
    pub fn transfer(&mut self, f_hz: f64, output: NodeId) -> Result<Complex64, Unsolvable> {
        self.factor(Complex64::new(0.0, TAU * f_hz))?;
        let index = self.system.voltage(output);
        let x = self.forward();
        Ok(index.map_or(Complex64::ZERO, |k| x[k]))
    }

    /// Voltage of `output` and its derivative with respect to `s`, for 1 V at the source.
    ///
    /// `dH/ds = −λᵀ (dA/ds) x`.
    ///
    /// # Errors
    /// [`Unsolvable::Resonance`] when `s` is a pole of the circuit.
    pub fn transfer_and_slope(
        &mut self,
        s: Complex64,
        output: NodeId,
    ) -> Result<(Complex64, Complex64), Unsolvable> {
        self.factor(s)?;
        self.forward();
        self.adjoint(output);
        let index = self.system.voltage(output);
        let value = index.map_or(Complex64::ZERO, |k| self.forward[k]);
        let slope = self
            .system
            .dynamic()
            .iter()
            .map(|t| t.u.dot(&self.adjoint) * t.v.dot(&self.forward) * -t.value)
            .sum();
        Ok((value, slope))
    }

    /// Both solutions after [`Solver::factor`]: `(x, λ)`.
    pub fn both(&mut self, output: NodeId) -> (&[Complex64], &[Complex64]) {
        self.forward();
        self.adjoint(output);
        (&self.forward, &self.adjoint)
    }
}

fn fill(values: &mut [Complex64], system: &System, s: Complex64) {
    for (value, entry) in values.iter_mut().zip(system.entries()) {
        *value = s * entry.dynamic + entry.fixed;
    }
}
