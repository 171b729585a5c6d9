//! Small symmetric positive definite systems.
//!
//! `A x = b` with `A = L Lᵀ` [HIGHAM, ch. 10; from memory]: `l_jj = √(a_jj − Σ l_jk²)`,
//! `l_ij = (a_ij − Σ l_ik l_jk)/l_jj`. Backward stable without pivoting. For least squares with a
//! damping on the diagonal, of a few dozen unknowns; error about `cond(A)` roundings.

/// Solves `A x = b`; `matrix` is `A` by rows. `None` when `A` is not positive definite within
/// rounding.
///
/// # Panics
/// When `matrix` has not as many entries as `right` squared.
#[must_use]
pub fn solve_positive_definite(matrix: &[f64], right: &[f64]) -> Option<Vec<f64>> {
    let size = right.len();
    assert_eq!(matrix.len(), size * size, "entries of a matrix of {size}");
    let mut factor = matrix.to_vec();
    for j in 0..size {
        for i in j..size {
            let known: f64 = (0..j)
                .map(|k| factor[i * size + k] * factor[j * size + k])
                .sum();
            let rest = factor[i * size + j] - known;
            if i > j {
                factor[i * size + j] = rest / factor[j * size + j];
            } else if rest > 4.0 * f64::EPSILON * matrix[j * size + j].abs() {
                factor[j * size + j] = rest.sqrt();
            } else {
                return None;
            }
        }
    }
    let mut x = right.to_vec();
    for i in 0..size {
        let known: f64 = (0..i).map(|k| factor[i * size + k] * x[k]).sum();
        x[i] = (x[i] - known) / factor[i * size + i];
    }
    for i in (0..size).rev() {
        let known: f64 = (i + 1..size).map(|k| factor[k * size + i] * x[k]).sum();
        x[i] = (x[i] - known) / factor[i * size + i];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    //! Order of trust: round trip, then closed form.
    use super::solve_positive_definite;

    #[test]
    fn the_solution_put_back_gives_the_right_side() {
        let a = [4.0, 1.0, -2.0, 1.0, 3.0, 0.5, -2.0, 0.5, 5.0];
        let b = [1.0, -2.0, 3.0];
        let x = solve_positive_definite(&a, &b).expect("positive definite");
        for (row, wanted) in a.chunks(3).zip(b) {
            let found: f64 = row.iter().zip(&x).map(|(a, x)| a * x).sum();
            assert!((found - wanted).abs() < 1e-14, "{found} for {wanted}");
        }
    }

    #[test]
    fn what_is_not_positive_definite_has_no_answer() {
        assert_eq!(
            solve_positive_definite(&[1.0, 1.0, 1.0, 1.0], &[1.0, 1.0]),
            None
        );
        assert_eq!(solve_positive_definite(&[-1.0], &[1.0]), None);
        assert_eq!(solve_positive_definite(&[], &[]), Some(Vec::new()));
    }
}
