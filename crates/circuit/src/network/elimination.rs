//! Gaussian elimination with scaled row pivoting.
//!
//! Factors `A` as `P D A E = L U`, where `D` divides every row by its greatest entry and
//! then `E` every column, so that amperes and volts, picofarads over microseconds and
//! megohms compete fairly for the pivot. [GOLUB, ch. 3] Meant for the few dozen
//! unknowns of a hand-built circuit: the work is `n³/3` multiply-adds. A pivot under a
//! bound of the caller's is taken for zero and its unknown is named.

use super::square::Square;

/// At rest: a pivot under which an unknown counts as undetermined. An exactly singular
/// matrix leaves rounding residue of a few 1e-16 after scaling; an amplifier of gain 1e7
/// leaves 1e-7.
pub(crate) const AT_REST: f64 = 1e-14;
/// In a time step: resistors beside capacitors over microseconds are small by nature, once
/// for each stage of textbook amplifiers, so only what is zero counts as zero.
pub(crate) const IN_A_STEP: f64 = 1e-100;

/// The unknown whose value the equations leave open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Singular {
    /// Its index.
    pub(crate) unknown: usize,
}

/// A factored matrix, ready to solve for any right-hand side.
#[derive(Debug, Clone)]
pub(crate) struct Factored {
    lu: Square,
    /// Row of the original matrix that stands in each row of `lu`.
    order: Vec<usize>,
    /// What each row of the original matrix was multiplied by.
    scale: Vec<f64>,
    /// What each column was multiplied by after that.
    column_scale: Vec<f64>,
}

impl Factored {
    /// Factors a matrix whose entries are finite.
    pub(crate) fn of(matrix: &Square, least_pivot: f64) -> Result<Self, Singular> {
        let n = matrix.size();
        let mut lu = matrix.clone();
        let scale = level_rows(&mut lu);
        let column_scale = level_columns(&mut lu);
        let mut order: Vec<usize> = (0..n).collect();
        for k in 0..n {
            let best = (k..n)
                .max_by(|&a, &b| lu.at(a, k).abs().total_cmp(&lu.at(b, k).abs()))
                .unwrap_or(k);
            let pivot = lu.at(best, k);
            // Written so that a NaN counts as singular too.
            if !(pivot.abs() > least_pivot && pivot.is_finite()) {
                return Err(Singular { unknown: k });
            }
            swap_rows(&mut lu, k, best);
            order.swap(k, best);
            eliminate_below(&mut lu, k);
        }
        Ok(Factored {
            lu,
            order,
            scale,
            column_scale,
        })
    }

    /// Solves `A x = right`, into `x`.
    pub(crate) fn solve_into(&self, right: &[f64], x: &mut [f64]) {
        let n = self.lu.size();
        for k in 0..n {
            let row = self.lu.row(k);
            let from = self.order[k];
            let done: f64 = row[..k].iter().zip(x.iter()).map(|(l, y)| l * y).sum();
            x[k] = right[from] * self.scale[from] - done;
        }
        for k in (0..n).rev() {
            let row = self.lu.row(k);
            let done: f64 = row[k + 1..]
                .iter()
                .zip(&x[k + 1..])
                .map(|(u, y)| u * y)
                .sum();
            x[k] = (x[k] - done) / row[k];
        }
        for (x, factor) in x.iter_mut().zip(&self.column_scale) {
            *x *= factor;
        }
    }

    /// Solves `A x = right`.
    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x = vec![0.0; right.len()];
        self.solve_into(right, &mut x);
        x
    }
}

/// Divides every row by its greatest entry; gives the factors.
fn level_rows(lu: &mut Square) -> Vec<f64> {
    let mut scale = vec![1.0; lu.size()];
    for (row, factor) in scale.iter_mut().enumerate() {
        let greatest = lu.row(row).iter().fold(0.0_f64, |m, x| m.max(x.abs()));
        if greatest > 0.0 && greatest.is_finite() {
            *factor = 1.0 / greatest;
            lu.row_mut(row).iter_mut().for_each(|x| *x *= *factor);
        }
    }
    scale
}

/// The same for columns.
fn level_columns(lu: &mut Square) -> Vec<f64> {
    let mut scale = vec![0.0_f64; lu.size()];
    for row in 0..lu.size() {
        for (greatest, x) in scale.iter_mut().zip(lu.row(row)) {
            *greatest = greatest.max(x.abs());
        }
    }
    for factor in &mut scale {
        *factor = if *factor > 0.0 { 1.0 / *factor } else { 1.0 };
    }
    for row in 0..lu.size() {
        for (x, factor) in lu.row_mut(row).iter_mut().zip(&scale) {
            *x *= factor;
        }
    }
    scale
}

fn swap_rows(lu: &mut Square, a: usize, b: usize) {
    if a != b {
        for column in 0..lu.size() {
            let (x, y) = (lu.at(a, column), lu.at(b, column));
            lu.row_mut(a)[column] = y;
            lu.row_mut(b)[column] = x;
        }
    }
}

fn eliminate_below(lu: &mut Square, k: usize) {
    let pivot_row: Vec<f64> = lu.row(k).to_vec();
    for row in k + 1..lu.size() {
        let target = lu.row_mut(row);
        let factor = target[k] / pivot_row[k];
        if factor != 0.0 {
            target[k] = factor;
            for (cell, above) in target[k + 1..].iter_mut().zip(&pivot_row[k + 1..]) {
                *cell -= factor * above;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(rows: &[&[f64]]) -> Square {
        let mut m = Square::zero(rows.len());
        for (r, row) in rows.iter().enumerate() {
            for (c, &value) in row.iter().enumerate() {
                m.add(r, c, value);
            }
        }
        m
    }

    /// Closed form: a 3 × 3 system solved by hand, rows a factor 10⁹ apart.
    #[test]
    fn solves_a_badly_scaled_system() {
        let m = square(&[&[0.0, 2e-9, 1e-9], &[1.0, 1.0, 0.0], &[3e5, 0.0, 1e5]]);
        // x = (1, 2, 3)
        let x = Factored::of(&m, AT_REST)
            .expect("regular")
            .solve(&[7e-9, 3.0, 6e5]);
        for (found, meant) in x.iter().zip([1.0, 2.0, 3.0]) {
            assert!((found - meant).abs() < 1e-12, "{found} is not {meant}");
        }
    }

    /// Invariant: the unknown that no equation mentions is the one that is named.
    #[test]
    fn names_the_undetermined_unknown() {
        let m = square(&[&[1.0, 0.0, 0.0], &[0.0, 0.0, 1.0], &[0.0, 0.0, 2.0]]);
        let refused = Factored::of(&m, AT_REST).expect_err("singular");
        assert_eq!(refused.unknown, 1);
    }
}
