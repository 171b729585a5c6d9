//! The straight line, run for all lanes of a block.
//!
//! One body for every kind of vector (512, 256 or 128 bits, or none at all): the kind is chosen
//! when the program runs, by `pulp`.

use super::lanes::ABREAST;
use super::number::Number;
use super::recorder::{OMEGA, ONE};
use super::recording::{Ending, Place, Recording, Step, Term, Way};
use pulp::Simd;

/// A row's worth of vectors.
pub(super) type Row<S> = [<S as Simd>::f64s; ABREAST];

/// A sum in the making: real and imaginary half.
pub(super) struct Both<S: Simd> {
    pub(super) re: Row<S>,
    pub(super) im: Row<S>,
}

/// The rows of a block, and how to reckon with them.
pub(super) struct Run<'a, S: Simd> {
    pub(super) simd: S,
    pub(super) rows: &'a mut [S::f64s],
    pub(super) line: &'a Recording,
}

impl<S: Simd> Run<'_, S> {
    #[inline(always)]
    pub(super) fn load(&self, row: u32) -> Row<S> {
        let at = row as usize * ABREAST;
        let mut row = [self.simd.splat_f64s(0.0); ABREAST];
        row.copy_from_slice(&self.rows[at..at + ABREAST]);
        row
    }

    #[inline(always)]
    pub(super) fn store(&mut self, row: u32, value: Row<S>) {
        let at = row as usize * ABREAST;
        self.rows[at..at + ABREAST].copy_from_slice(&value);
    }

    #[inline(always)]
    pub(super) fn zero(&self) -> Row<S> {
        [self.simd.splat_f64s(0.0); ABREAST]
    }

    /// `sum + a b`
    #[inline(always)]
    pub(super) fn more(&self, mut sum: Row<S>, a: Row<S>, b: Row<S>) -> Row<S> {
        for k in 0..ABREAST {
            sum[k] = self.simd.mul_add_e_f64s(a[k], b[k], sum[k]);
        }
        sum
    }

    /// `sum − a b`
    #[inline(always)]
    pub(super) fn less(&self, mut sum: Row<S>, a: Row<S>, b: Row<S>) -> Row<S> {
        for k in 0..ABREAST {
            sum[k] = self.simd.negate_mul_add_e_f64s(a[k], b[k], sum[k]);
        }
        sum
    }

    #[inline(always)]
    fn plus(&self, mut a: Row<S>, b: Row<S>) -> Row<S> {
        for k in 0..ABREAST {
            a[k] = self.simd.add_f64s(a[k], b[k]);
        }
        a
    }

    #[inline(always)]
    pub(super) fn minus(&self, mut a: Row<S>, b: Row<S>) -> Row<S> {
        for k in 0..ABREAST {
            a[k] = self.simd.sub_f64s(a[k], b[k]);
        }
        a
    }

    #[inline(always)]
    pub(super) fn times(&self, mut a: Row<S>, b: Row<S>) -> Row<S> {
        for k in 0..ABREAST {
            a[k] = self.simd.mul_f64s(a[k], b[k]);
        }
        a
    }

    #[inline(always)]
    fn magnitude(&self, mut a: Row<S>) -> Row<S> {
        for part in &mut a {
            *part = self.simd.abs_f64s(*part);
        }
        a
    }

    #[inline(always)]
    fn reciprocal(&self, mut a: Row<S>) -> Row<S> {
        let one = self.simd.splat_f64s(1.0);
        for part in &mut a {
            *part = self.simd.div_f64s(one, *part);
        }
        a
    }

    /// All steps of a list, one after the other.
    #[inline(always)]
    pub(super) fn steps(&mut self, steps: &[Step]) {
        for step in steps {
            self.step(step);
        }
    }

    #[inline(always)]
    fn step(&mut self, step: &Step) {
        let mut sum = self.nothing();
        for term in &self.line.terms[step.terms.clone()] {
            self.term(&mut sum, term);
        }
        self.end(sum, step);
    }

    #[inline(always)]
    fn term(&self, sum: &mut Both<S>, term: &Term) {
        let a = self.load(term.a);
        match term.way {
            Way::AddReal => sum.re = self.plus(sum.re, a),
            Way::SubtractReal => sum.re = self.minus(sum.re, a),
            Way::AddImaginary => sum.im = self.plus(sum.im, a),
            Way::SubtractImaginary => sum.im = self.minus(sum.im, a),
            Way::AddBoth => {
                sum.re = self.plus(sum.re, a);
                sum.im = self.plus(sum.im, self.load(term.a + 1));
            }
            Way::SubtractBoth => {
                sum.re = self.minus(sum.re, a);
                sum.im = self.minus(sum.im, self.load(term.a + 1));
            }
            Way::AddTimesOmega => sum.im = self.more(sum.im, a, self.load(OMEGA)),
            Way::LessRealReal => sum.re = self.less(sum.re, a, self.load(term.b)),
            Way::LessRealImaginary => sum.im = self.less(sum.im, a, self.load(term.b)),
            Way::LessImaginaryImaginary => sum.re = self.more(sum.re, a, self.load(term.b)),
            Way::LessBothReal => {
                let b = self.load(term.b);
                sum.re = self.less(sum.re, a, b);
                sum.im = self.less(sum.im, self.load(term.a + 1), b);
            }
            Way::LessBothImaginary => {
                let b = self.load(term.b);
                sum.re = self.more(sum.re, self.load(term.a + 1), b);
                sum.im = self.less(sum.im, a, b);
            }
            Way::LessBothBoth => {
                let (ai, br, bi) = (
                    self.load(term.a + 1),
                    self.load(term.b),
                    self.load(term.b + 1),
                );
                sum.re = self.less(sum.re, a, br);
                sum.im = self.less(sum.im, a, bi);
                sum.re = self.more(sum.re, ai, bi);
                sum.im = self.less(sum.im, ai, br);
            }
        }
    }

    #[inline(always)]
    fn end(&mut self, sum: Both<S>, step: &Step) {
        let sum = match step.ending {
            Ending::Plain => sum,
            Ending::Inverse => self.inverse(sum, step.to),
            Ending::Times(factor) => self.product(sum, factor),
        };
        self.keep(step.to, &sum);
    }

    #[inline(always)]
    fn inverse(&self, of: Both<S>, to: Number) -> Both<S> {
        match to {
            Number::Real(_) => Both {
                re: self.reciprocal(of.re),
                im: of.im,
            },
            Number::Imaginary(_) => Both {
                re: of.re,
                im: self.minus(self.zero(), self.reciprocal(of.im)),
            },
            _ => {
                let square = self.more(self.times(of.re, of.re), of.im, of.im);
                let inverse = self.reciprocal(square);
                Both {
                    re: self.times(of.re, inverse),
                    im: self.less(self.zero(), of.im, inverse),
                }
            }
        }
    }

    #[inline(always)]
    fn product(&self, sum: Both<S>, factor: Number) -> Both<S> {
        match factor {
            Number::Zero | Number::Unit { negative: false } => sum,
            Number::Unit { negative: true } => Both {
                re: self.minus(self.zero(), sum.re),
                im: self.minus(self.zero(), sum.im),
            },
            Number::Real(row) => {
                let b = self.load(row);
                Both {
                    re: self.times(sum.re, b),
                    im: self.times(sum.im, b),
                }
            }
            Number::Imaginary(row) => {
                let b = self.load(row);
                Both {
                    re: self.less(self.zero(), sum.im, b),
                    im: self.times(sum.re, b),
                }
            }
            Number::Complex(row) => {
                let (br, bi) = (self.load(row), self.load(row + 1));
                Both {
                    re: self.less(self.times(sum.re, br), sum.im, bi),
                    im: self.more(self.times(sum.re, bi), sum.im, br),
                }
            }
        }
    }

    /// What each equation is off by, `b − A x`.
    #[inline(always)]
    pub(super) fn residual(&mut self) {
        let line = self.line;
        let omega = self.load(OMEGA);
        for (equation, places) in line.equations.iter().enumerate() {
            let mut left: Both<S> = self.nothing();
            if equation == line.source {
                left.re = self.load(ONE);
            }
            for place in &line.places[places.clone()] {
                self.subtract_place(&mut left, place, omega);
            }
            self.keep(line.residual[equation], &left);
        }
    }

    #[inline(always)]
    fn subtract_place(&self, left: &mut Both<S>, place: &Place, omega: Row<S>) {
        let x = self.number(self.line.solution[place.column]);
        match place.fixed {
            Number::Unit { negative: true } => {
                left.re = self.plus(left.re, x.re);
                left.im = self.plus(left.im, x.im);
            }
            Number::Unit { negative: false } => {
                left.re = self.minus(left.re, x.re);
                left.im = self.minus(left.im, x.im);
            }
            Number::Real(row) => {
                let a = self.load(row);
                left.re = self.less(left.re, a, x.re);
                left.im = self.less(left.im, a, x.im);
            }
            _ => {}
        }
        if let Some(row) = place.dynamic {
            let a = self.times(self.load(row), omega);
            left.re = self.more(left.re, a, x.im);
            left.im = self.less(left.im, a, x.re);
        }
    }

    /// Adds the corrections, and says of every lane whether each was small: at most `share` of
    /// what it corrects, or of `floor`. 1 where it was, 0 where it was not or is no number.
    #[inline(always)]
    pub(super) fn correct(&mut self, share: f64, floor: f64) {
        let line = self.line;
        let share = self.simd.splat_f64s(share);
        let floor = [self.simd.splat_f64s(floor); ABREAST];
        let zero = self.simd.splat_f64s(0.0);
        let mut stands = [self.simd.splat_f64s(1.0); ABREAST];
        for (&x, &correction) in line.solution.iter().zip(&line.correction) {
            if correction == Number::Zero {
                continue;
            }
            let (was, by) = (self.number(x), self.number(correction));
            let size = self.plus(self.size(&was), floor);
            let moved = self.size(&by);
            for k in 0..ABREAST {
                let allowed = self.simd.mul_f64s(share, size[k]);
                let good = self.simd.less_than_or_equal_f64s(moved[k], allowed);
                stands[k] = self.simd.select_f64s(good, stands[k], zero);
            }
            if matches!(x, Number::Complex(_)) {
                let better = Both {
                    re: self.plus(was.re, by.re),
                    im: self.plus(was.im, by.im),
                };
                self.keep(x, &better);
            }
        }
        self.store(line.verdict, stands);
    }

    /// Sum of the magnitudes of both halves.
    #[inline(always)]
    fn size(&self, of: &Both<S>) -> Row<S> {
        self.plus(self.magnitude(of.re), self.magnitude(of.im))
    }

    #[inline(always)]
    pub(super) fn nothing(&self) -> Both<S> {
        Both {
            re: self.zero(),
            im: self.zero(),
        }
    }

    #[inline(always)]
    fn keep(&mut self, to: Number, value: &Both<S>) {
        match to {
            Number::Real(row) => self.store(row, value.re),
            Number::Imaginary(row) => self.store(row, value.im),
            Number::Complex(row) => {
                self.store(row, value.re);
                self.store(row + 1, value.im);
            }
            Number::Zero | Number::Unit { .. } => {}
        }
    }

    /// Any number, both halves.
    #[inline(always)]
    pub(super) fn number(&self, number: Number) -> Both<S> {
        let (mut re, mut im) = (self.zero(), self.zero());
        match number {
            Number::Zero => {}
            Number::Unit { negative: false } => re = self.load(ONE),
            Number::Unit { negative: true } => re = self.minus(re, self.load(ONE)),
            Number::Real(row) => re = self.load(row),
            Number::Imaginary(row) => im = self.load(row),
            Number::Complex(row) => {
                re = self.load(row);
                im = self.load(row + 1);
            }
        }
        Both { re, im }
    }
}
