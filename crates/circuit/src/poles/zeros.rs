//! The zeros of a transfer: counted exactly, started from eigenvalues, refined on the equations.
//!
//! They are the roots of `N(s) = det A(s)`, `A = G + sC` with the output nulled
//! ([`System::with_output_nulled`]). How many lie at 0 and how many are finite is counted without
//! rounding ([`Orders`]). The others start from the eigenvalues of the reduction, whose smallest and
//! greatest ones several zeros at 0 spoil, and are refined all together by
//! `z ← z − 1/(N'/N − m/z − Σ 1/(z − z_j))` over the m zeros at 0 and the others `z_j`, with
//! `N'/N = Σ value · vᵀ A⁻¹ u` over the dynamic terms: no determinant is formed, every step is
//! judged by the sparse equations themselves. Source: O. Aberth, "Iteration methods for finding all
//! zeros of a polynomial simultaneously", Math. Comp. 27 (1973) 339 (from memory).
//!
//! Range and honesty: a zero is returned when its last correction was below [`SETTLED`] of its
//! size, and it lies below [`BEYOND_MODEL_HZ`]; the one-pole amplifiers of the equations mean
//! nothing above. Accuracy: 1e-6 for zeros that stand apart, m-th root of rounding for m that
//! coincide elsewhere than at 0.

use super::Root;
use super::orders::Orders;
use super::root::listed;
use crate::NodeId;
use crate::ac::Solver;
use crate::state_space::StateSpace;
use crate::system::{System, Unsolvable};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Above this, Hz, the amplifiers of the equations, which have one pole, mean nothing.
pub const BEYOND_MODEL_HZ: f64 = 100e6;
/// Last relative correction of a root that counts as found.
const SETTLED: f64 = 1e-5;
/// Relative correction after which another would change nothing that is known.
const STILL: f64 = 1e-10;
/// Corrections of each root at most.
const MOST_ROUNDS: usize = 40;

/// The finite zeros of the transfer from the source to `output` up to [`BEYOND_MODEL_HZ`],
/// slowest first; those at 0 (coupling capacitors) are exactly 0.
///
/// # Errors
/// [`Unsolvable`] when the output never sees the source, or the eigenvalues do not settle.
pub fn zeros(system: &System, output: NodeId) -> Result<Vec<Root>, Unsolvable> {
    let port = Unsolvable::PortOnRail { port: "output" };
    let seen = system.voltage(output).ok_or(port.clone())?;
    let nulled = system.with_output_nulled(output).ok_or(port)?;
    let mut starts = StateSpace::reduce(&nulled)?.poles()?;
    let Some(orders) = Orders::of(system, seen) else {
        return Err(Unsolvable::NotConverged { what: "zeros" });
    };
    starts.sort_by(|a, b| a.norm().total_cmp(&b.norm()));
    let mut starts: Vec<Complex64> = starts
        .into_iter()
        .skip(orders.at_origin)
        .take(orders.finite - orders.at_origin)
        .map(|z| {
            if z == Complex64::ZERO {
                Complex64::ONE
            } else {
                z
            }
        })
        .collect();
    // What the reduction took for infinitely fast.
    let fastest = starts
        .last()
        .map_or(1.0, |s| s.norm())
        .max(TAU * BEYOND_MODEL_HZ);
    while starts.len() + orders.at_origin < orders.finite {
        starts.push(Complex64::from(
            -fastest * 10_f64.powi(1 + starts.len() as i32 % 3),
        ));
    }
    let mut refinement = Refinement {
        solver: Solver::new(&nulled)?,
        at_origin: orders.at_origin as f64,
        right: vec![Complex64::ZERO; nulled.size()],
        roots: Trial::all(&starts),
    };
    let mut found = refinement.run();
    found.extend(std::iter::repeat_n(Complex64::ZERO, orders.at_origin));
    Ok(listed(&found))
}

struct Refinement<'a> {
    solver: Solver<'a>,
    at_origin: f64,
    right: Vec<Complex64>,
    /// Both halves of every pair.
    roots: Vec<Trial>,
}

/// A root on its way.
struct Trial {
    z: Complex64,
    /// Size of the last correction against the root.
    correction: f64,
    /// The other half of its pair, as long as the two are corrected as one.
    mirror: Option<usize>,
    /// Whether it was moved off the symmetry of the start, which could never be left otherwise:
    /// two real starts may stand for a pair, and a pair for two real roots.
    moved: bool,
}

impl Trial {
    fn all(starts: &[Complex64]) -> Vec<Trial> {
        let trials = starts.iter().map(|&z| Trial {
            z,
            correction: f64::INFINITY,
            mirror: (z.im != 0.0)
                .then(|| starts.iter().position(|other| *other == z.conj()))
                .flatten(),
            moved: false,
        });
        trials.collect()
    }
}

impl Refinement<'_> {
    /// The roots that settled within the range of the model.
    fn run(&mut self) -> Vec<Complex64> {
        for _ in 0..MOST_ROUNDS {
            let mut still = true;
            for k in 0..self.roots.len() {
                if self.roots[k].correction > STILL {
                    self.correct(k);
                    still = false;
                }
            }
            if still {
                break;
            }
        }
        let settled = self.roots.iter().filter(|t| t.correction <= SETTLED);
        let tidied = settled.map(|t| tidy(t.z));
        tidied
            .filter(|z| z.norm() <= TAU * BEYOND_MODEL_HZ)
            .collect()
    }

    /// One correction of root `k`, and of its mirror image.
    fn correct(&mut self, k: usize) {
        let z = self.roots[k].z;
        let others = self.roots.iter().enumerate().filter(|(j, _)| *j != k);
        let pull: Complex64 = others.map(|(_, other)| (z - other.z).inv()).sum();
        let near = pull.norm() * z.norm() > 1e9;
        let Some(slope) = self.log_slope(z) else {
            self.roots[k].correction = 0.0;
            return;
        };
        let step = (slope - self.at_origin / z - pull).inv();
        let correction = step.norm() / (z - step).norm();
        let astray = near || !correction.is_finite() || correction > 1e-3;
        let mirror = self.roots[k].mirror;
        if astray && !self.roots[k].moved {
            for index in [Some(k), mirror].into_iter().flatten() {
                let trial = &mut self.roots[index];
                trial.z *= Complex64::new(1.0, 0.01 * (1.0 + index as f64 % 3.0));
                trial.correction = f64::INFINITY;
                (trial.mirror, trial.moved) = (None, true);
            }
        } else if correction.is_finite() {
            self.roots[k].z = z - step;
            self.roots[k].correction = correction;
            if let Some(index) = mirror {
                self.roots[index].z = (z - step).conj();
                self.roots[index].correction = correction;
            }
        }
    }

    /// `N'/N` at `s`; `None` where `N` is zero.
    fn log_slope(&mut self, s: Complex64) -> Option<Complex64> {
        self.solver.factor(s).ok()?;
        let mut sum = Complex64::ZERO;
        for term in self.solver.system().dynamic() {
            self.right.fill(Complex64::ZERO);
            for &(row, weight) in term.u.items() {
                self.right[row] = Complex64::from(weight);
            }
            self.solver.solve(&mut self.right);
            sum += term.v.dot(&self.right) * term.value;
        }
        Some(sum)
    }
}

/// Rounding off a root that is real.
fn tidy(z: Complex64) -> Complex64 {
    if z.im.abs() < 1e-7 * z.norm() {
        Complex64::from(z.re)
    } else {
        z
    }
}
