//! How the response moves with every part, from the two solutions of one elimination.
//!
//! `∂H/∂ln p = −Σ power · value · (jω)^(0 or 1) · (λ·u)(v·x)` over the strengths that `p` makes,
//! with `A x = b` and `Aᵀ λ = c` [DIRECTOR1969; from memory].

use super::lanes::ABREAST;
use super::recorder::{OMEGA, row_number};
use super::run::{Both, Run};
use crate::system::{Incidence, System};
use pulp::Simd;

impl<S: Simd> Run<'_, S> {
    /// Writes the slope of the response with respect to every parameter.
    #[inline(always)]
    pub(super) fn slopes(&mut self, system: &System) {
        let line = self.line;
        for index in 0..system.parameters().len() {
            let row = line.slopes + 2 * row_number(index);
            self.store(row, self.zero());
            self.store(row + 1, self.zero());
        }
        for (index, strength) in system.strengths().iter().enumerate() {
            if strength.powers.is_empty() {
                continue;
            }
            let left = self.seen_by(&line.adjoint, &strength.u);
            let right = self.seen_by(&line.solution, &strength.v);
            let value = self.load(line.strengths + row_number(index));
            let mut product = self.scaled(self.both(left, right), value);
            if strength.dynamic {
                let omega = self.load(OMEGA);
                product = Both {
                    re: self.minus(self.zero(), self.times(product.im, omega)),
                    im: self.times(product.re, omega),
                };
            }
            for &(parameter, power) in &strength.powers {
                self.subtract(line.slopes + 2 * row_number(parameter), power, &product);
            }
        }
    }

    #[inline(always)]
    fn seen_by(&self, of: &[super::number::Number], incidence: &Incidence) -> Both<S> {
        let mut sum = self.nothing();
        for &(index, weight) in incidence.items() {
            let weight = [self.simd.splat_f64s(weight); ABREAST];
            let term = self.number(of[index]);
            sum.re = self.more(sum.re, term.re, weight);
            sum.im = self.more(sum.im, term.im, weight);
        }
        sum
    }

    #[inline(always)]
    fn subtract(&mut self, row: u32, power: i32, product: &Both<S>) {
        let power = [self.simd.splat_f64s(f64::from(power)); ABREAST];
        let re = self.less(self.load(row), product.re, power);
        let im = self.less(self.load(row + 1), product.im, power);
        self.store(row, re);
        self.store(row + 1, im);
    }

    #[inline(always)]
    fn both(&self, a: Both<S>, b: Both<S>) -> Both<S> {
        Both {
            re: self.less(self.times(a.re, b.re), a.im, b.im),
            im: self.more(self.times(a.re, b.im), a.im, b.re),
        }
    }

    #[inline(always)]
    fn scaled(&self, a: Both<S>, by: super::run::Row<S>) -> Both<S> {
        Both {
            re: self.times(a.re, by),
            im: self.times(a.im, by),
        }
    }
}
