//! Elimination done once on symbols: which sums of products solve the circuit.
//!
//! With the order fixed, `P A Q = L U` and the two triangular solutions are sums of products
//! (Crout's form). What is always zero costs nothing, a factor that is always ±1 costs no
//! multiplication, real and imaginary numbers cost half, and what does not depend on the
//! frequency is computed once for all frequencies.
//!
//! ```text
//! u_kj = a_kj − Σ l_km u_mj          l_ik = (a_ik − Σ l_im u_mk) / u_kk      (m < k)
//! y_k  = b_k − Σ l_km y_m            x_k  = (y_k − Σ u_kj x_j) / u_kk        (j > k)
//! w_k  = (c_k − Σ u_mk w_m) / u_kk   λ_k  = w_k − Σ l_ik λ_i                 (i > k)
//! ```
//!
//! Source: [GOLUB, §3.2; from memory].

use super::number::Number;
use super::recording::{Ending, Place, Recording, Step, Term, Way};
use super::rows;
use crate::system::System;
use numeric::EliminationOrder;
use std::collections::BTreeMap;

/// Row of the angular frequency of each lane.
pub(super) const OMEGA: u32 = 0;
/// Row of ones.
pub(super) const ONE: u32 = 1;

/// Strengths, by index, with their weights in a sum.
type Weighted = Vec<(usize, f64)>;

/// A place of the matrix before elimination.
#[derive(Clone, Copy)]
struct Entry {
    fixed: Number,
    dynamic: Option<u32>,
}

impl Entry {
    const NOTHING: Entry = Entry {
        fixed: Number::Zero,
        dynamic: None,
    };

    fn of(fixed: Number) -> Entry {
        Entry {
            fixed,
            dynamic: None,
        }
    }
}

/// Which list a step of this phase goes to when it depends on frequency.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Phase {
    Forward,
    Refinement,
    Transposed,
}

/// Writes the straight line down.
pub(super) struct Recorder<'a> {
    order: &'a EliminationOrder,
    size: usize,
    phase: Phase,
    /// For each row given out: whether it holds something that does not depend on frequency.
    lasting: Vec<bool>,
    line: Recording,
    entries: BTreeMap<(usize, usize), Entry>,
}

impl<'a> Recorder<'a> {
    /// The line that solves `system` in this order for the `wanted` unknowns, and, where slopes are
    /// wanted, the transposed equations for the unknown `seen`; `None` when a pivot is always zero.
    pub(super) fn record(
        system: &System,
        order: &'a EliminationOrder,
        wanted: &[Option<usize>],
        seen: Option<usize>,
    ) -> Option<Recording> {
        let mut recorder = Recorder {
            order,
            size: system.size(),
            phase: Phase::Forward,
            lasting: vec![false, true],
            line: Recording::empty(system.source_row()),
            entries: BTreeMap::new(),
        };
        recorder.matrix(system);
        recorder.eliminate(seen)?;
        if seen.is_none() {
            recorder.line.keep_corrections_of(wanted);
        }
        let (strengths, parameters) = match seen {
            Some(_) => (system.strengths().len(), system.parameters().len()),
            None => (0, 0),
        };
        rows::pack(
            &mut recorder.line,
            &recorder.lasting,
            row_number(strengths),
            row_number(parameters),
        );
        Some(recorder.line)
    }

    fn row(&mut self, lasting: bool) -> u32 {
        self.lasting.push(lasting);
        row_number(self.lasting.len() - 1)
    }

    /// The places of the matrix, each coefficient a sum of strengths.
    fn matrix(&mut self, system: &System) {
        let mut sums: BTreeMap<(usize, usize), [Weighted; 2]> = BTreeMap::new();
        for (index, strength) in system.strengths().iter().enumerate() {
            for &(i, a) in strength.u.items() {
                for &(j, b) in strength.v.items() {
                    let place = sums.entry((i, j)).or_default();
                    place[usize::from(strength.dynamic)].push((index, a * b));
                }
            }
        }
        for ((i, j), [fixed, dynamic]) in sums {
            let fixed = self.coefficient(system, fixed);
            let dynamic = (!dynamic.is_empty()).then(|| self.sum_of_strengths(dynamic));
            self.entries.insert((i, j), Entry { fixed, dynamic });
            self.line.places.push(Place {
                row: i,
                column: j,
                fixed,
                dynamic,
            });
        }
        for row in 0..self.size {
            let places = &self.line.places;
            let from = places.partition_point(|p| p.row < row);
            let to = places.partition_point(|p| p.row <= row);
            self.line.equations.push(from..to);
        }
    }

    fn coefficient(&mut self, system: &System, sum: Weighted) -> Number {
        let strengths = system.strengths();
        if sum.iter().all(|&(k, _)| strengths[k].powers.is_empty()) {
            let value: f64 = sum.iter().map(|&(k, w)| w * strengths[k].value).sum();
            match value {
                0.0 => return Number::Zero,
                1.0 => return Number::Unit { negative: false },
                -1.0 => return Number::Unit { negative: true },
                _ => {}
            }
        }
        Number::Real(self.sum_of_strengths(sum))
    }

    /// The row of a sum; a resistor stands at two places with the same sign, and takes one row.
    fn sum_of_strengths(&mut self, sum: Weighted) -> u32 {
        if let Some((row, _)) = self.line.sums.iter().find(|(_, known)| *known == sum) {
            return *row;
        }
        let row = self.row(true);
        self.line.sums.push((row, sum));
        row
    }

    fn eliminate(&mut self, seen: Option<usize>) -> Option<()> {
        let n = self.size;
        let mut lower = vec![Number::Zero; n * n];
        let mut upper = vec![Number::Zero; n * n];
        let mut inverse = vec![Number::Zero; n];
        for k in 0..n {
            for j in k..n {
                let before = (0..k).map(|m| (lower[k * n + m], upper[m * n + j]));
                let entry = self.entry(k, j);
                if j == k {
                    inverse[k] = self.sum(entry, before, Ending::Inverse);
                    if inverse[k] == Number::Zero {
                        return None;
                    }
                } else {
                    upper[k * n + j] = self.sum(entry, before, Ending::Plain);
                }
            }
            for i in k + 1..n {
                let before = (0..k).map(|m| (lower[i * n + m], upper[m * n + k]));
                let entry = self.entry(i, k);
                lower[i * n + k] = self.sum(entry, before, Ending::Times(inverse[k]));
            }
        }
        let source = self.line.source;
        let right = |row| one_if(row == source);
        self.line.solution = self.solve(&lower, &upper, &inverse, right);
        self.phase = Phase::Refinement;
        let residual: Vec<Number> = (0..n)
            .map(|_| {
                let row = self.row(false);
                self.row(false);
                Number::Complex(row)
            })
            .collect();
        self.line.correction = self.solve(&lower, &upper, &inverse, |row| residual[row]);
        self.line.residual = residual;
        if let Some(seen) = seen {
            self.phase = Phase::Transposed;
            self.solve_transposed(&lower, &upper, &inverse, seen);
        }
        Some(())
    }

    fn entry(&self, k: usize, j: usize) -> Entry {
        let at = (self.order.rows[k], self.order.columns[j]);
        self.entries.get(&at).copied().unwrap_or(Entry::NOTHING)
    }

    /// The unknowns for a right-hand side given equation by equation.
    fn solve(
        &mut self,
        lower: &[Number],
        upper: &[Number],
        inverse: &[Number],
        right: impl Fn(usize) -> Number,
    ) -> Vec<Number> {
        let n = self.size;
        let mut y = Vec::with_capacity(n);
        for k in 0..n {
            let before: Vec<_> = (0..k).map(|m| (lower[k * n + m], y[m])).collect();
            let right = Entry::of(right(self.order.rows[k]));
            let sum = self.sum(right, before, Ending::Plain);
            y.push(sum);
        }
        let mut x = vec![Number::Zero; n];
        for k in (0..n).rev() {
            let after: Vec<_> = (k + 1..n).map(|j| (upper[k * n + j], x[j])).collect();
            x[k] = self.sum(Entry::of(y[k]), after, Ending::Times(inverse[k]));
        }
        let mut by_unknown = vec![Number::Zero; n];
        for (k, number) in x.into_iter().enumerate() {
            by_unknown[self.order.columns[k]] = number;
        }
        by_unknown
    }

    fn solve_transposed(
        &mut self,
        lower: &[Number],
        upper: &[Number],
        inverse: &[Number],
        seen: usize,
    ) {
        let n = self.size;
        let mut w = Vec::with_capacity(n);
        for k in 0..n {
            let right = one_if(self.order.columns[k] == seen);
            let before: Vec<_> = (0..k).map(|m| (upper[m * n + k], w[m])).collect();
            let sum = self.sum(Entry::of(right), before, Ending::Times(inverse[k]));
            w.push(sum);
        }
        let mut z = vec![Number::Zero; n];
        for k in (0..n).rev() {
            let after: Vec<_> = (k + 1..n).map(|i| (lower[i * n + k], z[i])).collect();
            z[k] = self.sum(Entry::of(w[k]), after, Ending::Plain);
        }
        self.line.adjoint = vec![Number::Zero; n];
        for (k, number) in z.into_iter().enumerate() {
            self.line.adjoint[self.order.rows[k]] = number;
        }
    }

    /// `(entry − Σ a b)`, ended as asked: folded where it is known beforehand, written down as a
    /// step where it is not.
    fn sum(
        &mut self,
        entry: Entry,
        products: impl IntoIterator<Item = (Number, Number)>,
        ending: Ending,
    ) -> Number {
        let mut sum = Sum::default();
        sum.add(entry.fixed, false);
        if let Some(row) = entry.dynamic {
            sum.terms.push(Term {
                way: Way::AddTimesOmega,
                a: row,
                b: row,
            });
        }
        for (a, b) in products {
            sum.less(a, b);
        }
        if let Some(known) = sum.folded(ending) {
            return known;
        }
        if sum.constant != 0 {
            let way = if sum.constant > 0 {
                Way::AddReal
            } else {
                Way::SubtractReal
            };
            for _ in 0..sum.constant.abs() {
                sum.terms.push(Term {
                    way,
                    a: ONE,
                    b: ONE,
                });
            }
        }
        self.step(sum.terms, ending)
    }

    /// Writes one step down, unless it only copies a number.
    fn step(&mut self, terms: Vec<Term>, ending: Ending) -> Number {
        let plain = matches!(
            ending,
            Ending::Plain | Ending::Times(Number::Unit { negative: false })
        );
        if let (true, [only]) = (plain, &terms[..]) {
            match only.way {
                Way::AddReal => return Number::Real(only.a),
                Way::AddImaginary => return Number::Imaginary(only.a),
                Way::AddBoth => return Number::Complex(only.a),
                _ => {}
            }
        }
        let mut real = terms.iter().any(|t| t.way.touches_real());
        let mut imaginary = terms.iter().any(|t| t.way.touches_imaginary());
        let mut lasting = terms.iter().all(|t| self.term_lasts(t));
        if let Ending::Times(factor) = ending {
            (real, imaginary) = (
                real && factor.has_real() || imaginary && factor.has_imaginary(),
                real && factor.has_imaginary() || imaginary && factor.has_real(),
            );
            lasting &= match factor {
                Number::Real(k) | Number::Imaginary(k) | Number::Complex(k) => {
                    self.lasting[k as usize]
                }
                _ => true,
            };
        }
        let row = self.row(lasting);
        let to = match (real, imaginary) {
            (true, false) => Number::Real(row),
            (false, true) => Number::Imaginary(row),
            _ => {
                self.row(lasting);
                Number::Complex(row)
            }
        };
        let from = self.line.terms.len();
        self.line.terms.extend(terms);
        let step = Step {
            to,
            terms: from..self.line.terms.len(),
            ending,
        };
        match (lasting, self.phase) {
            (true, _) => self.line.before.push(step),
            (false, Phase::Forward) => self.line.each.push(step),
            (false, Phase::Refinement) => self.line.refine.push(step),
            (false, Phase::Transposed) => self.line.transposed.push(step),
        }
        to
    }

    fn term_lasts(&self, term: &Term) -> bool {
        term.way != Way::AddTimesOmega
            && self.lasting[term.a as usize]
            && self.lasting[term.b as usize]
    }
}

/// A count or an index as the number of a row.
pub(super) fn row_number(count: usize) -> u32 {
    u32::try_from(count).expect("a circuit of a few hundred parts")
}

fn one_if(condition: bool) -> Number {
    if condition {
        Number::Unit { negative: false }
    } else {
        Number::Zero
    }
}

/// A sum while it is collected: terms, and what is known to be whole.
#[derive(Default)]
struct Sum {
    terms: Vec<Term>,
    constant: i32,
}

impl Sum {
    fn add(&mut self, number: Number, negative: bool) {
        let (way, a) = match (number, negative) {
            (Number::Zero, _) => return,
            (Number::Unit { negative: own }, _) => {
                self.constant += if own == negative { 1 } else { -1 };
                return;
            }
            (Number::Real(a), false) => (Way::AddReal, a),
            (Number::Real(a), true) => (Way::SubtractReal, a),
            (Number::Imaginary(a), false) => (Way::AddImaginary, a),
            (Number::Imaginary(a), true) => (Way::SubtractImaginary, a),
            (Number::Complex(a), false) => (Way::AddBoth, a),
            (Number::Complex(a), true) => (Way::SubtractBoth, a),
        };
        self.terms.push(Term { way, a, b: a });
    }

    fn less(&mut self, a: Number, b: Number) {
        use Number::{Complex, Imaginary, Real, Unit, Zero};
        let (way, a, b) = match (a, b) {
            (Zero, _) | (_, Zero) => return,
            (Unit { negative }, other) | (other, Unit { negative }) => {
                return self.add(other, !negative);
            }
            (Real(a), Real(b)) => (Way::LessRealReal, a, b),
            (Real(a), Imaginary(b)) | (Imaginary(b), Real(a)) => (Way::LessRealImaginary, a, b),
            (Imaginary(a), Imaginary(b)) => (Way::LessImaginaryImaginary, a, b),
            (Complex(a), Real(b)) | (Real(b), Complex(a)) => (Way::LessBothReal, a, b),
            (Complex(a), Imaginary(b)) | (Imaginary(b), Complex(a)) => {
                (Way::LessBothImaginary, a, b)
            }
            (Complex(a), Complex(b)) => (Way::LessBothBoth, a, b),
        };
        self.terms.push(Term { way, a, b });
    }

    /// What the sum is, when that is known without computing.
    fn folded(&self, ending: Ending) -> Option<Number> {
        if !self.terms.is_empty() {
            return None;
        }
        let flip = match ending {
            Ending::Times(Number::Unit { negative }) => negative,
            Ending::Plain | Ending::Inverse => false,
            Ending::Times(factor) => {
                return match self.constant {
                    0 => Some(Number::Zero),
                    1 => Some(factor),
                    _ => None,
                };
            }
        };
        match self.constant {
            0 => Some(Number::Zero),
            1 => Some(Number::Unit { negative: flip }),
            -1 => Some(Number::Unit { negative: !flip }),
            _ => None,
        }
    }
}
