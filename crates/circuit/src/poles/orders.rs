//! How many zeros lie at 0 and how many are finite, counted exactly.
//!
//! `N(s) = det(G + sC)` of the equations with the output nulled. The order of `N` at 0: eliminate
//! `G` by row operations done on `C` too; a row left without an entry in `G` is `s` times its row
//! of `C`, so one `s` is taken out of the determinant and that row of `C` becomes one of `G`; again
//! until `G` has full rank. The order at infinity is the same with `G` and `C` exchanged. Source:
//! the staircase form of a pencil, see [`crate::state_space`]'s deflation; here without rounding.
//!
//! Arithmetic: integers modulo the prime 2⁶¹ − 1, in which every double `m·2^e` has an exact image
//! (2⁶¹ ≡ 1). A determinant that is not zero looks zero with probability about `n/2⁶¹`. The count
//! is of the circuit whose conductances are the stored doubles: a bridge balanced only by
//! rounding is as unbalanced as its doubles are.

use crate::system::{System, Term};

const PRIME: u64 = (1 << 61) - 1;

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
                let weight = times(image(a), image(b));
                rows[i][j] = plus(rows[i][j], times(weight, image(term.value)));
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
        let inverse = power(low[pivot][column], PRIME - 2);
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

/// The residue of a finite double.
fn image(value: f64) -> u64 {
    if value == 0.0 {
        return 0;
    }
    let bits = value.to_bits();
    let exponent = (bits >> 52 & 0x7ff) as i64;
    let fraction = bits & ((1 << 52) - 1);
    let (mantissa, exponent) = if exponent == 0 {
        (fraction, -1074)
    } else {
        (fraction | 1 << 52, exponent - 1075)
    };
    let size = times(mantissa, 1 << exponent.rem_euclid(61));
    if value < 0.0 { PRIME - size } else { size }
}

fn plus(a: u64, b: u64) -> u64 {
    let sum = a + b;
    if sum >= PRIME { sum - PRIME } else { sum }
}

fn times(a: u64, b: u64) -> u64 {
    let product = u128::from(a) * u128::from(b);
    let low = (product & u128::from(PRIME)) as u64;
    plus(low, (product >> 61) as u64)
}

fn power(mut base: u64, mut exponent: u64) -> u64 {
    let mut product = 1;
    while exponent > 0 {
        if exponent & 1 == 1 {
            product = times(product, base);
        }
        base = times(base, base);
        exponent >>= 1;
    }
    product
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: sums and products that are exact in doubles are so in their images.
    #[test]
    fn doubles_have_exact_images() {
        assert_eq!(plus(image(0.375), image(-0.375)), 0);
        assert_eq!(
            times(image(1e-9), image(2f64.powi(80))),
            image(1e-9 * 2f64.powi(80))
        );
        assert_eq!(plus(image(0.5), image(0.25)), image(0.75));
        assert_eq!(times(image(0.1), power(image(0.1), PRIME - 2)), 1);
    }

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
