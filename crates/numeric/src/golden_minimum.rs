//! The least of `f` between two points in a fixed number of evaluations.
//!
//! Golden section: each round keeps `(√5 − 1)/2 = 0.618` of the bracket and evaluates once.
//! [KIEFER1953; from memory] `f` has one valley between the points; with several, one of them is found.
//! Accuracy of the place: `0.618^rounds` of the bracket, but no better than `√ε` of it, since
//! nearer the valley `f` no longer changes. [`brent_minimum`](crate::brent_minimum()) needs fewer
//! evaluations for a smooth `f`; this one serves where `f` has corners or the work must not vary.

/// What each round keeps of the bracket.
const KEPT: f64 = 0.618_033_988_749_894_9;

/// Place and value of the least `f` seen between two points after that many rounds.
pub fn golden_minimum(
    mut f: impl FnMut(f64) -> f64,
    from: f64,
    to: f64,
    rounds: usize,
) -> (f64, f64) {
    let (mut a, mut b) = (from, to);
    let (mut c, mut d) = (b - KEPT * (b - a), a + KEPT * (b - a));
    let (mut at_c, mut at_d) = (f(c), f(d));
    for _ in 0..rounds {
        if at_c < at_d {
            (b, d, at_d) = (d, c, at_c);
            c = b - KEPT * (b - a);
            at_c = f(c);
        } else {
            (a, c, at_c) = (c, d, at_d);
            d = a + KEPT * (b - a);
            at_d = f(d);
        }
    }
    if at_c < at_d { (c, at_c) } else { (d, at_d) }
}

#[cfg(test)]
mod tests {
    use super::golden_minimum;

    /// Closed form: a corner, a parabola and a valley at the end of the bracket.
    #[test]
    fn known_valleys() {
        let (x, y) = golden_minimum(|x: f64| (x - 0.3).abs(), -1.0, 2.0, 60);
        assert!((x - 0.3).abs() < 1e-11 && y < 1e-11, "{x} {y}");
        let (x, y) = golden_minimum(|x: f64| (x - 0.7).powi(2) + 3.0, -4.0, 9.0, 60);
        assert!((x - 0.7).abs() < 1e-6 && (y - 3.0).abs() < 1e-12, "{x} {y}");
        let (x, _) = golden_minimum(|x| x, 1.0, 2.0, 60);
        assert!((x - 1.0).abs() < 1e-11, "{x}");
    }

    /// Closed form: the bracket shrinks by the promised factor a round.
    #[test]
    fn each_round_keeps_its_share() {
        for rounds in [0, 1, 5, 22] {
            let (x, _) = golden_minimum(|x: f64| (x - 0.37).abs(), 0.0, 1.0, rounds);
            let promised = 0.618_034_f64.powi(i32::try_from(rounds).expect("small"));
            assert!((x - 0.37).abs() <= promised, "{rounds}: {x}");
        }
    }

    /// Closed form: two evaluations to begin with and one a round.
    #[test]
    fn evaluations_are_counted() {
        let mut count = 0;
        let _ = golden_minimum(
            |x| {
                count += 1;
                x * x
            },
            -1.0,
            1.0,
            30,
        );
        assert_eq!(count, 32);
    }
}
