//! How many zeros lie at 0 and how many are finite, counted exactly.
//!
//! `N(s) = det(G + sC)` of the equations with the output nulled. The order of `N` at 0: eliminate
//! `G` by row operations done on `C` too; a row left without an entry in `G` is `s` times its row
//! of `C`, so one `s` is taken out of the determinant and that row of `C` becomes one of `G`; again
//! until `G` has full rank. The order at infinity is the same with `G` and `C` exchanged. Source:
//! the staircase form of a pencil, see [`crate::state_space`]'s deflation; here without rounding.
//!
//! Arithmetic: integers modulo the prime 2⁶¹ − 1, in which every decimal number has an exact
//! image ([`super::residue_class`]). A determinant that is not zero looks zero with probability
//! about `n/2⁶¹`. The count is of the circuit as its values are written, not as doubles round
//! them: a bridge that balances in decimals is balanced, and a zero at 1e-10 rad/s, which an input
//! resistance of 1 TΩ makes, is not one at 0.

use super::residue_class::{PRIME, inverse, of_written, plus, times};
use crate::system::{System, Term};

/// Orders of the numerator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Orders {
    /// Zeros at 0.
    pub(super) at_origin: usize,
    /// Finite zeros in all, those at 0 among them.
    pub(super) finite: usize,
}

impl Orders {
    /// Of the transfer to the unknown `seen`; `None` when the source never reaches it.
    pub(super) fn of(system: &System, seen: usize) -> Option<Self> {
        let size = system.size() + 1;
        let mut fixed = matrix(size, system.fixed());
        // The source becomes the unknown that keeps the output at 0 V.
        fixed[system.source_row()][size - 1] = PRIME - 1;
        fixed[size - 1][seen] = 1;
        let dynamic = matrix(size, system.dynamic());
        let at_origin = order(fixed.clone(), dynamic.clone())?;
        let at_infinity = order(dynamic, fixed)?;
        Some(Orders {
            at_origin,
            finite: size.checked_sub(at_infinity)?,
        })
    }
}

fn matrix(size: usize, terms: &[Term]) -> Vec<Vec<u64>> {
    let mut rows = vec![vec![0; size]; size];
    for term in terms {
        for &(i, a) in term.u.items() {
            for &(j, b) in term.v.items() {
                let weight = times(of_written(a), of_written(b));
                rows[i][j] = plus(rows[i][j], times(weight, of_written(term.value)));
            }
        }
    }
    rows
}

/// Order at 0 of `det(low + s·high)`; `None` when it vanishes altogether.
fn order(mut low: Vec<Vec<u64>>, mut high: Vec<Vec<u64>>) -> Option<usize> {
    let size = low.len();
    let mut count = 0;
    loop {
        let empty = eliminate(&mut low, &mut high);
        if empty.is_empty() {
            return Some(count);
        }
        count += empty.len();
        if count > size {
            return None;
        }
        for row in empty {
            std::mem::swap(&mut low[row], &mut high[row]);
        }
    }
}

/// Row echelon form of `low`, the same done to `high`; the rows of `low` left empty.
fn eliminate(low: &mut [Vec<u64>], high: &mut [Vec<u64>]) -> Vec<usize> {
    let size = low.len();
    let mut left: Vec<usize> = (0..size).collect();
    for column in 0..size {
        // The sparsest row keeps the others sparse.
        let able = left.iter().copied().filter(|&row| low[row][column] != 0);
        let entries = |row: usize| low[row].iter().filter(|v| **v != 0).count();
        let Some(pivot) = able.min_by_key(|&row| entries(row)) else {
            continue;
        };
        left.retain(|&row| row != pivot);
        let inverse = inverse(low[pivot][column]);
        let heads = [low[pivot].clone(), high[pivot].clone()];
        for &row in &left {
            if low[row][column] == 0 {
                continue;
            }
            let factor = PRIME - times(low[row][column], inverse);
            for (target, head) in [&mut low[row], &mut high[row]].into_iter().zip(&heads) {
                for (value, &above) in target.iter_mut().zip(head).filter(|(_, h)| **h != 0) {
                    *value = plus(*value, times(factor, above));
                }
            }
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: a chain of ones beside `s` has the determinant s³ and takes three rounds.
    #[test]
    fn orders_of_a_chain() {
        let low = vec![vec![0, 1, 0], vec![0, 0, 1], vec![0, 0, 0]];
        let high = vec![vec![1, 0, 0], vec![0, 1, 0], vec![0, 0, 1]];
        assert_eq!(order(low.clone(), high.clone()), Some(3));
        assert_eq!(order(high, low), Some(0));
        let blind = vec![vec![1, 0], vec![1, 0]];
        assert_eq!(order(blind, vec![vec![0; 2]; 2]), None);
    }
}
