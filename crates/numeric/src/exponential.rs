//! `e^{A h 2^k}` for a chain of k: everything needed to step, and to step back by halving.
//!
//! Scaling and squaring: `h0 = h / 2^m` with `‖A h0‖₁ ≤ ¼`, the Taylor polynomial of degree 12
//! (remainder `¼^13 / 13! = 2.4e-18`) by Paterson–Stockmeyer, then squarings. [MOLER2003,
//! method 3; from memory] All
//! intermediate powers are kept: they are the finer steps. Accuracy: relative to the
//! propagator, about `ε ‖A‖ t`; balance `A` first.

use nalgebra::DMatrix;

/// The chain of propagators of `ẋ = A x`.
#[derive(Debug, Clone)]
pub struct DyadicExponential {
    finest_step: f64,
    powers: Vec<DMatrix<f64>>,
}

impl DyadicExponential {
    /// The chain up to the level that steps by `step`, with at least `finer` levels below it.
    ///
    /// # Panics
    /// When `a` is not square or `step` is not positive.
    #[must_use]
    pub fn new(a: &DMatrix<f64>, step: f64, finer: usize) -> Self {
        assert!(a.is_square() && step > 0.0, "a square matrix and a step");
        let norm = (0..a.ncols())
            .map(|j| a.column(j).iter().map(|v| v.abs()).sum::<f64>())
            .fold(0.0, f64::max);
        let needed = (norm * step * 4.0).log2().ceil().clamp(0.0, 900.0) as usize;
        let halvings = needed.max(finer);
        let finest_step = step * (-(halvings as f64)).exp2();
        let mut chain = DyadicExponential {
            finest_step,
            powers: vec![taylor(&(a * finest_step))],
        };
        chain.extend_to(halvings);
        chain
    }

    /// Number of levels there are.
    #[must_use]
    pub fn levels(&self) -> usize {
        self.powers.len()
    }

    /// Step of a level, s.
    #[must_use]
    pub fn step(&self, level: usize) -> f64 {
        self.finest_step * (level as f64).exp2()
    }

    /// Propagator of a level; level 0 is the finest.
    #[must_use]
    pub fn power(&self, level: usize) -> &DMatrix<f64> {
        &self.powers[level]
    }

    /// Squares on until `level` exists.
    pub fn extend_to(&mut self, level: usize) {
        while self.powers.len() <= level {
            let last = self.powers.last().expect("the finest is always there");
            self.powers.push(last * last);
        }
    }
}

/// Degree 12 in powers of A⁴.
fn taylor(a: &DMatrix<f64>) -> DMatrix<f64> {
    let n = a.nrows();
    let one = DMatrix::<f64>::identity(n, n);
    let a2 = a * a;
    let a3 = &a2 * a;
    let a4 = &a2 * &a2;
    let mut factor = [1.0_f64; 13];
    for k in 1..13 {
        factor[k] = factor[k - 1] / k as f64;
    }
    let block =
        |k: usize| &one * factor[k] + a * factor[k + 1] + &a2 * factor[k + 2] + &a3 * factor[k + 3];
    let mut sum = block(8) + &a4 * factor[12];
    sum = block(4) + &a4 * sum;
    block(0) + &a4 * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: a rotation with decay, a nilpotent block, and a stiff pair.
    #[test]
    fn exponentials_with_a_closed_form() {
        let a = DMatrix::from_row_slice(2, 2, &[-3.0, 50.0, -50.0, -3.0]);
        let chain = DyadicExponential::new(&a, 0.1, 3);
        let top = chain.power(chain.levels() - 1);
        assert!((chain.step(chain.levels() - 1) - 0.1).abs() < 1e-17);
        let decay = (-0.3_f64).exp();
        assert!((top[(0, 0)] - decay * 5.0_f64.cos()).abs() < 1e-13);
        assert!((top[(0, 1)] - decay * 5.0_f64.sin()).abs() < 1e-13);
        let jordan = DMatrix::from_row_slice(3, 3, &[-2., 1., 0., 0., -2., 1., 0., 0., -2.]);
        let chain = DyadicExponential::new(&jordan, 4.0, 0);
        let top = chain.power(chain.levels() - 1);
        assert!((top[(0, 2)] / (8.0 * (-8.0_f64).exp()) - 1.0).abs() < 1e-13);
        let stiff = DMatrix::from_row_slice(2, 2, &[-1e8, 1e8, 0.0, -10.0]);
        let chain = DyadicExponential::new(&stiff, 0.05, 0);
        let top = chain.power(chain.levels() - 1);
        assert!((top[(1, 1)] / (-0.5_f64).exp() - 1.0).abs() < 1e-8);
    }
}
