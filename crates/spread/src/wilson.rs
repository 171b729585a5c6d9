//! How sure a share is that was found by counting.
//!
//! Equation: the score interval [WILSON1927; from memory]. With `p = k/n` and `z` standard
//! deviations (1.96 for 95 %), the ends are
//! `(p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n)`.
//! Range: any `k` of any `n` ≥ 1, none and all included; of no trials, everything is possible.

/// Standard deviations that 95 % lie within.
const Z: f64 = 1.959_963_984_540_054;

/// The share `passed`/`trials` lies between these two, 95 times in 100.
#[must_use]
pub fn wilson(passed: u64, trials: u64) -> (f64, f64) {
    if trials == 0 {
        return (0.0, 1.0);
    }
    let n = trials as f64;
    let p = passed as f64 / n;
    let z2 = Z * Z / n;
    let middle = p + 0.5 * z2;
    let reach = (z2 * (p * (1.0 - p) + 0.25 * z2)).sqrt();
    let end = |x: f64| (x / (1.0 + z2)).clamp(0.0, 1.0);
    // None and all are the ends themselves, which rounding would miss by a hair.
    let low = if passed == 0 {
        0.0
    } else {
        end(middle - reach)
    };
    let high = if passed == trials {
        1.0
    } else {
        end(middle + reach)
    };
    (low, high)
}

#[cfg(test)]
mod tests {
    //! Order of trust: closed form.
    use super::wilson;

    /// Closed form: the ends are where the score test just refuses, `(p̂ − p)² = z² p(1 − p)/n`.
    #[test]
    fn the_ends_solve_the_equation_they_come_from() {
        for (k, n) in [(0, 10), (1, 10), (81, 263), (999, 1000), (10, 10)] {
            let (low, high) = wilson(k, n);
            let seen = k as f64 / n as f64;
            for p in [low, high].into_iter().filter(|p| *p > 0.0 && *p < 1.0) {
                let score = (seen - p).powi(2) * n as f64 / (p * (1.0 - p));
                assert!((score - 3.841_458_820_694_124).abs() < 1e-9, "{k}/{n} {p}");
            }
            assert!(low <= seen && seen <= high);
        }
    }

    /// Closed form: of n trials none passed, the upper end is z²/(n + z²).
    #[test]
    fn none_of_a_few_says_little() {
        let (low, high) = wilson(0, 10);
        assert!(
            low.abs() < 1e-15
                && (high - 3.841_458_820_694_124 / 13.841_458_820_694_124).abs() < 1e-12
        );
        assert_eq!(wilson(0, 0), (0.0, 1.0));
    }
}
