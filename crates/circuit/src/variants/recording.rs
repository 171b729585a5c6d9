//! The straight line: what is computed from what, in which order.
//!
//! Every step is a sum of products (the inner-product form of elimination, Crout's; [GOLUB,
//! §3.2; from memory]) that ends in one number, so that partial sums stay in registers and
//! each number is written once.

use super::number::Number;
use std::collections::BTreeSet;
use std::ops::Range;

/// How a term enters its sum. Products are subtracted, as elimination wants it; the letters say
/// which halves its factors have: real, imaginary, or both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    AddReal,
    SubtractReal,
    AddImaginary,
    SubtractImaginary,
    AddBoth,
    SubtractBoth,
    /// `+ jω a`
    AddTimesOmega,
    LessRealReal,
    LessRealImaginary,
    LessImaginaryImaginary,
    LessBothReal,
    LessBothImaginary,
    LessBothBoth,
}

/// One term: how it enters, and the rows of its factors (`b` unused where there is one).
#[derive(Debug, Clone, Copy)]
pub(super) struct Term {
    pub(super) way: Way,
    pub(super) a: u32,
    pub(super) b: u32,
}

/// What is done with a finished sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ending {
    /// Kept as it is.
    Plain,
    /// Its reciprocal is kept.
    Inverse,
    /// Multiplied by this number.
    Times(Number),
}

/// One step: a sum, what is done with it, and where it goes.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub(super) to: Number,
    pub(super) terms: Range<usize>,
    pub(super) ending: Ending,
}

impl Step {
    /// Rows that it reads: those of its terms and of its last factor.
    pub(super) fn reads(&self, terms: &[Term]) -> Vec<u32> {
        let mut rows = Vec::new();
        for term in &terms[self.terms.clone()] {
            let (a, b) = term.way.halves();
            rows.extend((0..a).map(|k| term.a + k));
            rows.extend((0..b).map(|k| term.b + k));
        }
        if let Ending::Times(factor) = self.ending {
            rows.extend(factor.rows());
        }
        rows
    }
}

/// A place of the matrix: equation, unknown, and its two coefficients (`fixed + jω dynamic`).
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) row: usize,
    pub(super) column: usize,
    pub(super) fixed: Number,
    pub(super) dynamic: Option<u32>,
}

/// The whole line for one circuit.
#[derive(Debug, Clone)]
pub(super) struct Recording {
    /// Number of rows of lanes needed.
    pub(super) rows: usize,
    /// Rows that hold a sum of strengths: (row, strengths with their weights).
    pub(super) sums: Vec<(u32, Vec<(usize, f64)>)>,
    /// Steps whose result does not depend on frequency: done once a block of variants.
    pub(super) before: Vec<Step>,
    /// Steps done at every frequency.
    pub(super) each: Vec<Step>,
    /// Steps done at every frequency when slopes are wanted: the transposed solution.
    pub(super) transposed: Vec<Step>,
    /// Terms of all steps.
    pub(super) terms: Vec<Term>,
    /// The matrix, equation by equation, for the residual.
    pub(super) places: Vec<Place>,
    /// Range of each equation in `places`.
    pub(super) equations: Vec<Range<usize>>,
    /// Which equation has 1 V on its right.
    pub(super) source: usize,
    /// Every unknown.
    pub(super) solution: Vec<Number>,
    /// The transposed solution, an entry for each equation.
    pub(super) adjoint: Vec<Number>,
    /// What each equation is off by, in pairs of rows.
    pub(super) residual: Vec<Number>,
    /// Steps that solve for the residual: one refinement.
    pub(super) refine: Vec<Step>,
    /// What the refinement adds to each unknown.
    pub(super) correction: Vec<Number>,
    /// Row that says which lanes stand.
    pub(super) verdict: u32,
    /// First of the rows of the strengths themselves, for the slopes.
    pub(super) strengths: u32,
    /// First of the rows for the slopes: a pair for each parameter.
    pub(super) slopes: u32,
}

impl Recording {
    /// Nothing recorded yet.
    pub(super) fn empty(source: usize) -> Self {
        Recording {
            rows: 0,
            sums: Vec::new(),
            before: Vec::new(),
            each: Vec::new(),
            transposed: Vec::new(),
            terms: Vec::new(),
            places: Vec::new(),
            equations: Vec::new(),
            source,
            solution: Vec::new(),
            adjoint: Vec::new(),
            residual: Vec::new(),
            refine: Vec::new(),
            correction: Vec::new(),
            verdict: 0,
            strengths: 0,
            slopes: 0,
        }
    }

    /// Drops the steps of the refinement that only correct unknowns nobody asked for.
    pub(super) fn keep_corrections_of(&mut self, wanted: &[Option<usize>]) {
        for (unknown, number) in self.correction.iter_mut().enumerate() {
            if !wanted.contains(&Some(unknown)) {
                *number = Number::Zero;
            }
        }
        let mut needed: BTreeSet<u32> = self.correction.iter().filter_map(|n| n.row()).collect();
        let terms = &self.terms;
        self.refine = std::mem::take(&mut self.refine)
            .into_iter()
            .rev()
            .filter(|step| {
                let is_needed = step.to.row().is_some_and(|row| needed.contains(&row));
                if is_needed {
                    needed.extend(step.reads(terms));
                }
                is_needed
            })
            .collect();
        self.refine.reverse();
    }

    /// Real multiplications, additions (a fused pair counts once) and divisions of one
    /// evaluation: elimination, solution, residual and refinement.
    pub(super) fn operations(&self) -> usize {
        let steps = self.each.iter().chain(&self.refine);
        let residual = self.places.iter().map(residual_cost);
        steps.map(|step| self.cost(step)).sum::<usize>() + residual.sum::<usize>()
    }

    fn cost(&self, step: &Step) -> usize {
        let sum: usize = self.terms[step.terms.clone()]
            .iter()
            .map(|term| term.way.cost())
            .sum();
        let halves = usize::from(step.to.has_real()) + usize::from(step.to.has_imaginary());
        sum + match step.ending {
            Ending::Plain => 0,
            Ending::Inverse => 1 + 4 * (halves - 1),
            Ending::Times(Number::Complex(_)) => 2 * halves,
            Ending::Times(_) => halves,
        }
    }
}

/// Two products for each coefficient, and one for the frequency.
fn residual_cost(place: &Place) -> usize {
    let fixed = usize::from(place.fixed != Number::Zero);
    2 * fixed + 3 * usize::from(place.dynamic.is_some())
}

impl Way {
    /// Whether it adds to the real half of its sum.
    pub(super) fn touches_real(self) -> bool {
        !matches!(
            self,
            Way::AddImaginary
                | Way::SubtractImaginary
                | Way::AddTimesOmega
                | Way::LessRealImaginary
        )
    }

    /// Whether it adds to the imaginary half of its sum.
    pub(super) fn touches_imaginary(self) -> bool {
        !matches!(
            self,
            Way::AddReal | Way::SubtractReal | Way::LessRealReal | Way::LessImaginaryImaginary
        )
    }

    /// How many rows each factor takes; 0 for a second factor that is not there.
    pub(super) fn halves(self) -> (u32, u32) {
        match self {
            Way::AddBoth | Way::SubtractBoth => (2, 0),
            Way::LessBothReal | Way::LessBothImaginary => (2, 1),
            Way::LessBothBoth => (2, 2),
            Way::LessRealReal | Way::LessRealImaginary | Way::LessImaginaryImaginary => (1, 1),
            _ => (1, 0),
        }
    }

    fn cost(self) -> usize {
        match self {
            Way::LessBothBoth => 4,
            Way::AddBoth | Way::SubtractBoth | Way::LessBothReal | Way::LessBothImaginary => 2,
            _ => 1,
        }
    }
}
