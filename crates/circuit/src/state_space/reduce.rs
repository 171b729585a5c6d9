//! From the equations to a state space with one state for each finite pole.
//!
//! At a real shift `s0` let `A0 = G + s0 U D Vᵀ`, `K = |D|^½ Vᵀ A0⁻¹ U sgn(D) |D|^½`. With σ = s − s0,
//! Woodbury's identity gives `x(s) = x0 − σ X (I + σK)⁻¹ f`, `X = A0⁻¹ U …`, `f = … Vᵀ x0`: poles are
//! `s0 − 1/μ` for the eigenvalues μ of `K` that are not zero. After deflation the invertible
//! block `K1` gives `A = s0 I − K1⁻¹`, and the nilpotent rest, which answers at once, is carried
//! into the output rows: with `M = −K1⁻¹`, `Φ = −K21 M − N Φ M`, a free motion shows at an unknown
//! as `C = −(g1 + g2 Φ) M`.
//!
//! Accuracy: slow poles are the large eigenvalues of `K` and come out to rounding times the
//! condition of the eigenvalue; poles up to some 1e12 times the shift are kept.

use super::deflation::Deflation;
use crate::NodeId;
use crate::ac::Solver;
use crate::system::{System, Unsolvable};
use nalgebra::{DMatrix, DVector, RowDVector};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// `ẋ = A x + B u`, and how every voltage sees `x`.
#[derive(Debug, Clone)]
pub struct StateSpace {
    shift: f64,
    a: DMatrix<f64>,
    b: DVector<f64>,
    /// One row an unknown: what a free motion shows there.
    c: DMatrix<f64>,
    of_node: Vec<Option<usize>>,
    regular: DMatrix<f64>,
    full: Full,
}

/// The reduction before deflation, which answers for the whole transfer.
#[derive(Debug, Clone)]
struct Full {
    k: DMatrix<f64>,
    f: DVector<f64>,
    x0: DVector<f64>,
    x: DMatrix<f64>,
}

impl StateSpace {
    /// Reduces a circuit's equations.
    ///
    /// # Errors
    /// [`Unsolvable`] when the equations are singular or an iteration does not settle.
    pub fn reduce(system: &System) -> Result<StateSpace, Unsolvable> {
        let mut solver = Solver::new(system)?;
        // A pole of an unstable circuit may lie on one shift, not on both.
        let mut shift = TAU * 700.0;
        if solver.factor(Complex64::from(shift)).is_err() {
            shift *= 1.37;
            solver.factor(Complex64::from(shift))?;
        }
        let full = Full::gather(system, &mut solver);
        if full.k.iter().chain(full.x0.iter()).any(|v| !v.is_finite()) {
            return Err(Unsolvable::NotConverged { what: "reduction" });
        }
        Ok(StateSpace::from_full(system, shift, full))
    }

    fn from_full(system: &System, shift: f64, full: Full) -> Self {
        let deflation = Deflation::of(&full.k);
        let kept = deflation.regular.nrows();
        let rest = full.k.nrows() - kept;
        let f = deflation.basis.transpose() * &full.f;
        let g = &full.x * &deflation.basis;
        let inverse = deflation
            .regular
            .clone()
            .try_inverse()
            .unwrap_or_else(|| DMatrix::zeros(kept, kept));
        let m = -&inverse;
        let mut phi = -&deflation.coupling * &m;
        for _ in 0..deflation.layers {
            phi = -&deflation.coupling * &m - &deflation.nilpotent * &phi * &m;
        }
        let mut c = -(g.columns(0, kept) + g.columns(kept, rest) * phi) * &m;
        let mut a = DMatrix::identity(kept, kept) * shift + &m;
        let mut b = &inverse * f.rows(0, kept);
        let scale = nalgebra::linalg::balancing::balance_parlett_reinsch(&mut a);
        for k in 0..kept {
            b[k] /= scale[k];
            c.column_mut(k).scale_mut(scale[k]);
        }
        StateSpace {
            shift,
            a,
            b,
            c,
            of_node: system.of_node.clone(),
            regular: deflation.regular,
            full,
        }
    }

    /// Number of states: of finite poles.
    #[must_use]
    pub fn order(&self) -> usize {
        self.a.nrows()
    }

    /// The matrix `A`, 1/s, balanced.
    #[must_use]
    pub fn a(&self) -> &DMatrix<f64> {
        &self.a
    }

    /// The input column `B`, for the open-circuit source voltage.
    #[must_use]
    pub fn b(&self) -> &DVector<f64> {
        &self.b
    }

    /// What a free motion shows at `node`; zero on a rail.
    #[must_use]
    pub fn c(&self, node: NodeId) -> RowDVector<f64> {
        match self.of_node[node.0] {
            Some(index) => self.c.row(index).into_owned(),
            None => RowDVector::zeros(self.order()),
        }
    }

    /// Finite poles, rad/s, in no particular order.
    ///
    /// # Errors
    /// [`Unsolvable::NotConverged`] when the eigenvalues do not settle.
    pub fn poles(&self) -> Result<Vec<Complex64>, Unsolvable> {
        let eigenvalues = numeric::eigenvalues(&self.regular)
            .map_err(|_| Unsolvable::NotConverged { what: "poles" })?;
        Ok(eigenvalues
            .into_iter()
            .map(|mu| Complex64::from(self.shift) - mu.inv())
            .collect())
    }

    /// Voltage of `node` for 1 V at the source at `s`, from the reduction: a second route beside
    /// the sweep. `None` at a pole.
    #[must_use]
    pub fn transfer(&self, s: Complex64, node: NodeId) -> Option<Complex64> {
        let Some(index) = self.of_node[node.0] else {
            return Some(Complex64::ZERO);
        };
        let sigma = s - self.shift;
        let size = self.full.k.nrows();
        let matrix = DMatrix::from_fn(size, size, |i, j| {
            let one = if i == j { 1.0 } else { 0.0 };
            sigma * self.full.k[(i, j)] + one
        });
        let right = self.full.f.map(Complex64::from);
        let inner = matrix.lu().solve(&right)?;
        let seen: Complex64 = (0..size).map(|k| inner[k] * self.full.x[(index, k)]).sum();
        Some(sigma * -seen + self.full.x0[index])
    }
}

impl Full {
    /// The balanced `K`, `f`, `x0` and `X` at the shift at which `solver` is factored.
    fn gather(system: &System, solver: &mut Solver<'_>) -> Self {
        let terms = system.dynamic();
        let (n, r) = (system.size(), terms.len());
        let x0 = DVector::from_iterator(n, solver.forward().iter().map(|v| v.re));
        let mut x = DMatrix::zeros(n, r);
        let mut right = vec![Complex64::ZERO; n];
        for (k, term) in terms.iter().enumerate() {
            right.fill(Complex64::ZERO);
            let weight = term.value.signum() * term.value.abs().sqrt();
            for &(row, value) in term.u.items() {
                right[row] = Complex64::from(value * weight);
            }
            solver.solve(&mut right);
            for (row, value) in right.iter().enumerate() {
                x[(row, k)] = value.re;
            }
        }
        let seen = |k: usize, column: &dyn Fn(usize) -> f64| -> f64 {
            let items = terms[k].v.items();
            let sum: f64 = items.iter().map(|&(row, w)| w * column(row)).sum();
            sum * terms[k].value.abs().sqrt()
        };
        let mut k = DMatrix::from_fn(r, r, |i, j| seen(i, &|row| x[(row, j)]));
        let mut f = DVector::from_fn(r, |i, _| seen(i, &|row| x0[row]));
        let scale = nalgebra::linalg::balancing::balance_parlett_reinsch(&mut k);
        for j in 0..r {
            f[j] /= scale[j];
            x.column_mut(j).scale_mut(scale[j]);
        }
        Full { k, f, x0, x }
    }
}
