//! Rows are given back as soon as nothing needs them any more, so that the lanes of a whole
//! circuit stay in the memory nearest to the processor.

use super::number::Number;
use super::recorder::ONE;
use super::recording::{Ending, Recording, Step};

/// Renumbers the rows of `line`. Rows that last (`lasting`) keep a place of their own; the others
/// share places: one for each half that is needed at the same time.
///
/// After them come the rows of the proof and, where slopes are wanted, those of the `strengths`
/// and of the `parameters`.
pub(super) fn pack(line: &mut Recording, lasting: &[bool], strengths: u32, parameters: u32) {
    let mut packer = Packer {
        place: vec![None; lasting.len()],
        last_use: last_uses(line, lasting.len()),
        paired: vec![false; lasting.len()],
        single: Vec::new(),
        pairs: Vec::new(),
        count: 0,
    };
    for (row, &lasts) in lasting.iter().enumerate() {
        if lasts || row <= ONE as usize {
            packer.place[row] = Some(packer.count);
            packer.count += 1;
        }
    }
    for (time, step) in steps(line).enumerate() {
        if time == line.each.len() {
            line.residual.iter().for_each(|&number| packer.give(number));
        }
        packer.give(step.to);
        let mut rows = step.reads(&line.terms);
        rows.extend(step.to.rows());
        packer.take_back(&rows, time, lasting);
    }
    packer.renumber(line);
    line.verdict = packer.count;
    line.strengths = line.verdict + 1;
    line.slopes = line.strengths + strengths;
    line.rows = (line.slopes + 2 * parameters) as usize;
}

/// The steps of every frequency in the order in which they run.
fn steps(line: &Recording) -> impl Iterator<Item = &Step> {
    line.each.iter().chain(&line.refine).chain(&line.transposed)
}

/// The last step that reads each row; those of the solutions are needed to the end.
fn last_uses(line: &Recording, count: usize) -> Vec<usize> {
    let mut last = vec![0; count];
    for (time, step) in steps(line).enumerate() {
        for row in step.reads(&line.terms).into_iter().chain(step.to.rows()) {
            last[row as usize] = time;
        }
    }
    let kept = [&line.solution, &line.correction, &line.adjoint];
    for row in kept.into_iter().flatten().flat_map(|n| n.rows()) {
        last[row as usize] = usize::MAX;
    }
    last
}

struct Packer {
    place: Vec<Option<u32>>,
    last_use: Vec<usize>,
    /// Whether a row is the first of a pair.
    paired: Vec<bool>,
    single: Vec<u32>,
    pairs: Vec<u32>,
    count: u32,
}

impl Packer {
    fn give(&mut self, to: Number) {
        match to {
            Number::Zero | Number::Unit { .. } => {}
            Number::Real(row) | Number::Imaginary(row) => {
                let place = self.single.pop().unwrap_or_else(|| {
                    self.count += 1;
                    self.count - 1
                });
                self.place[row as usize] = Some(place);
            }
            Number::Complex(row) => {
                let place = self.pairs.pop().unwrap_or_else(|| {
                    self.count += 2;
                    self.count - 2
                });
                self.paired[row as usize] = true;
                self.place[row as usize] = Some(place);
                self.place[row as usize + 1] = Some(place + 1);
            }
        }
    }

    /// Both halves of a pair are always read together, so their last use is one.
    fn take_back(&mut self, rows: &[u32], time: usize, lasting: &[bool]) {
        let mut done: Vec<u32> = rows
            .iter()
            .copied()
            .filter(|&row| row > ONE && !lasting[row as usize])
            .filter(|&row| self.last_use[row as usize] == time)
            .collect();
        done.sort_unstable();
        done.dedup();
        let mut rest = done.into_iter();
        while let Some(row) = rest.next() {
            let Some(place) = self.place[row as usize] else {
                continue;
            };
            if self.paired[row as usize] {
                self.pairs.push(place);
                rest.next();
            } else {
                self.single.push(place);
            }
        }
    }

    fn renumber(&self, line: &mut Recording) {
        let at = |row: u32| self.place[row as usize].unwrap_or(row);
        let number = |n: Number| match n {
            Number::Real(row) => Number::Real(at(row)),
            Number::Imaginary(row) => Number::Imaginary(at(row)),
            Number::Complex(row) => Number::Complex(at(row)),
            known => known,
        };
        let step = |step: &mut Step| {
            step.to = number(step.to);
            if let Ending::Times(factor) = step.ending {
                step.ending = Ending::Times(number(factor));
            }
        };
        line.before.iter_mut().for_each(step);
        line.each.iter_mut().for_each(step);
        line.refine.iter_mut().for_each(step);
        line.transposed.iter_mut().for_each(step);
        for term in &mut line.terms {
            (term.a, term.b) = (at(term.a), at(term.b));
        }
        for (row, _) in &mut line.sums {
            *row = at(*row);
        }
        for place in &mut line.places {
            place.fixed = number(place.fixed);
            place.dynamic = place.dynamic.map(at);
        }
        let vectors = [
            &mut line.solution,
            &mut line.residual,
            &mut line.correction,
            &mut line.adjoint,
        ];
        for n in vectors.into_iter().flatten() {
            *n = number(*n);
        }
    }
}
