//! Which row and which column of a sparse matrix is eliminated when.
//!
//! `P R A C Q`: `R`, `C` scale rows and columns by powers of two so that the greatest entry of
//! each is near 1; `P`, `Q` follow Markowitz's rule on a sample matrix: the least `(r−1)(c−1)`
//! among entries not smaller than 1 % of the largest left in their column, the larger entry on
//! a tie. What uses the order for other matrices of the same pattern ([`crate::SparseLu`], and
//! straight-line recordings) must watch whether it still suits them.
//!
//! Sources: the rule [MARKOWITZ1957; from memory]; threshold pivoting [DUFF, ch. 5 and 7; from
//! memory]. Range: a few hundred unknowns, since the trial elimination is dense.

use num_complex::Complex64;

/// No pivot was left: these rows and columns (unknowns) cannot be told apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Singular {
    /// Equations left without a pivot.
    pub rows: Vec<usize>,
    /// Unknowns left undetermined.
    pub columns: Vec<usize>,
}

/// Which row and which column is eliminated when, and the scales under which it was chosen.
#[derive(Debug, Clone)]
pub struct EliminationOrder {
    /// The row of each step.
    pub rows: Vec<usize>,
    /// The column of each step.
    pub columns: Vec<usize>,
    /// Power of two for each row.
    pub row_scale: Vec<f64>,
    /// Power of two for each column.
    pub column_scale: Vec<f64>,
}

impl EliminationOrder {
    /// Entries smaller than this share of the greatest in their column are no pivots.
    const THRESHOLD: f64 = 0.01;

    /// Chooses the order for the pattern `at` (row, column; no pair twice) on the sample
    /// `values`.
    ///
    /// # Errors
    /// [`Singular`] with the rows and columns that are left when no pivot is.
    ///
    /// # Panics
    /// When `at` and `values` differ in length or an index is not below `size`.
    pub fn choose(
        size: usize,
        at: &[(usize, usize)],
        values: &[Complex64],
    ) -> Result<EliminationOrder, Singular> {
        assert_eq!(at.len(), values.len(), "one value an entry");
        let (row_scale, column_scale) = equilibrate(size, at, values);
        let mut matrix = vec![Trial::default(); size * size];
        for (&(i, j), value) in at.iter().zip(values) {
            let value = value * (row_scale[i] * column_scale[j]);
            matrix[i * size + j] = Trial {
                value,
                made_of: value.norm(),
                present: true,
            };
        }
        let mut rows: Vec<usize> = (0..size).collect();
        let mut columns: Vec<usize> = (0..size).collect();
        for k in 0..size {
            let Some((p, q)) = best_pivot(&matrix, size, &rows[k..], &columns[k..]) else {
                return Err(Singular {
                    rows: rows[k..].to_vec(),
                    columns: columns[k..].to_vec(),
                });
            };
            rows.swap(k, k + p);
            columns.swap(k, k + q);
            eliminate(&mut matrix, size, &rows[k..], &columns[k..]);
        }
        Ok(EliminationOrder {
            rows,
            columns,
            row_scale,
            column_scale,
        })
    }
}

/// The nearest power of two to `1 / magnitude`, so that scaling adds no rounding.
fn inverse_power_of_two(magnitude: f64) -> f64 {
    if magnitude > 0.0 && magnitude.is_finite() {
        (-magnitude.log2().round()).exp2()
    } else {
        1.0
    }
}

fn equilibrate(size: usize, at: &[(usize, usize)], values: &[Complex64]) -> (Vec<f64>, Vec<f64>) {
    let mut rows = vec![1.0; size];
    let mut columns = vec![1.0; size];
    // Two rounds bring every greatest entry within a factor of two or so of 1.
    for _ in 0..2 {
        let mut greatest = vec![0.0_f64; size];
        for (&(i, j), v) in at.iter().zip(values) {
            greatest[i] = greatest[i].max(v.norm() * columns[j]);
        }
        for (scale, magnitude) in rows.iter_mut().zip(greatest) {
            *scale = inverse_power_of_two(magnitude);
        }
        let mut greatest = vec![0.0_f64; size];
        for (&(i, j), v) in at.iter().zip(values) {
            greatest[j] = greatest[j].max(v.norm() * rows[i]);
        }
        for (scale, magnitude) in columns.iter_mut().zip(greatest) {
            *scale = inverse_power_of_two(magnitude);
        }
    }
    (rows, columns)
}

/// One matrix entry during the trial elimination, with the sum of the magnitudes that made it.
#[derive(Clone, Copy, Default)]
struct Trial {
    value: Complex64,
    made_of: f64,
    present: bool,
}

impl Trial {
    /// Whether it is more than the rounding errors of its own making.
    fn stands(&self) -> bool {
        self.present && self.value.norm() > 64.0 * f64::EPSILON * self.made_of
    }
}

/// Position of the best pivot among the rows and columns left.
fn best_pivot(
    matrix: &[Trial],
    size: usize,
    rows: &[usize],
    columns: &[usize],
) -> Option<(usize, usize)> {
    let mut in_row = vec![0_usize; rows.len()];
    let mut in_column = vec![0_usize; columns.len()];
    let mut greatest = vec![0.0_f64; columns.len()];
    for (p, &i) in rows.iter().enumerate() {
        for (q, &j) in columns.iter().enumerate() {
            let entry = &matrix[i * size + j];
            if entry.present {
                in_row[p] += 1;
                in_column[q] += 1;
                if entry.stands() {
                    greatest[q] = greatest[q].max(entry.value.norm());
                }
            }
        }
    }
    let mut best: Option<(usize, f64, usize, usize)> = None;
    for (p, &i) in rows.iter().enumerate() {
        for (q, &j) in columns.iter().enumerate() {
            let entry = &matrix[i * size + j];
            let magnitude = entry.value.norm();
            if !entry.stands() || magnitude < EliminationOrder::THRESHOLD * greatest[q] {
                continue;
            }
            let cost = (in_row[p] - 1) * (in_column[q] - 1);
            if best.is_none_or(|(c, m, ..)| cost < c || (cost == c && magnitude > m)) {
                best = Some((cost, magnitude, p, q));
            }
        }
    }
    best.map(|(_, _, p, q)| (p, q))
}

/// Eliminates the first of the rows and columns left from the others.
fn eliminate(matrix: &mut [Trial], size: usize, rows: &[usize], columns: &[usize]) {
    let (pivot_row, pivot_column) = (rows[0], columns[0]);
    let inverse = matrix[pivot_row * size + pivot_column].value.inv();
    for &i in &rows[1..] {
        let entry = matrix[i * size + pivot_column];
        if !entry.present {
            continue;
        }
        let multiplier = entry.value * inverse;
        for &j in &columns[1..] {
            let source = matrix[pivot_row * size + j];
            if !source.present {
                continue;
            }
            let product = multiplier * source.value;
            let target = &mut matrix[i * size + j];
            target.value -= product;
            target.made_of += multiplier.norm() * source.made_of;
            target.present = true;
        }
    }
}
