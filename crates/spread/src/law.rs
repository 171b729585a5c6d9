//! How the values of parts lie within their tolerance.
//!
//! `x` is the deviation from the printed value as a share of the tolerance, −1 to 1.
//!
//! - Uniform: every value in the band is as likely, `F(x) = (1 + x)/2`, variance `1/3`.
//! - Normal, trimmed at the band: `σ = 1/3`, so that the tolerance is three standard deviations and
//!   the maker sorts out what lies beyond; `F(x) = (Φ(3x) − Φ(−3))/(Φ(3) − Φ(−3))`, variance
//!   `(1/9)(1 − 6 φ(3)/(2Φ(3) − 1))`.
//! - Sorted out: the maker sold the parts of the inner half as the next better grade (common
//!   practice: 10 % parts from which the 5 % ones are taken), and the rest is uniform:
//!   `½ ≤ |x| ≤ 1`, variance `7/12`.
//!
//! Accuracy: 1e-12 of the tolerance, both ways.

use numeric::{normal_cumulative, normal_quantile};

/// Tolerance in standard deviations of the trimmed normal law.
const SIGMAS: f64 = 3.0;
/// Where the hole of the sorted-out law ends.
const HOLE: f64 = 0.5;

/// How the values of one kind of part lie within their tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// Anywhere in the band.
    Uniform,
    /// A normal distribution whose standard deviation is a third of the band, trimmed at the band.
    Normal,
    /// The better ones were taken out: nothing in the inner half of the band.
    SortedOut,
}

impl Law {
    /// All of them.
    pub const ALL: [Law; 3] = [Law::Uniform, Law::Normal, Law::SortedOut];

    /// What a user calls it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Law::Uniform => "uniform",
            Law::Normal => "normal",
            Law::SortedOut => "sorted-out",
        }
    }

    /// In a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Law::Uniform => "anywhere in their tolerance",
            Law::Normal => "normal, their tolerance three standard deviations",
            Law::SortedOut => "with the inner half of their tolerance sorted out",
        }
    }

    /// The deviation below which a share `u` of the parts lies, as a share of the tolerance.
    ///
    /// # Panics
    /// When `u` is not within 0 to 1.
    #[must_use]
    pub fn quantile(self, u: f64) -> f64 {
        match self {
            Law::Uniform => 2.0 * u - 1.0,
            Law::Normal => {
                let low = normal_cumulative(-SIGMAS);
                let share = low + u * (1.0 - 2.0 * low);
                (normal_quantile(share) / SIGMAS).clamp(-1.0, 1.0)
            }
            Law::SortedOut => {
                let x = 2.0 * u - 1.0;
                x * (1.0 - HOLE) + HOLE.copysign(x)
            }
        }
    }

    /// The share of the parts that deviate by less than `x` of the tolerance.
    #[must_use]
    pub fn cumulative(self, x: f64) -> f64 {
        let x = x.clamp(-1.0, 1.0);
        match self {
            Law::Uniform => f64::midpoint(1.0, x),
            Law::Normal => {
                let low = normal_cumulative(-SIGMAS);
                (normal_cumulative(SIGMAS * x) - low) / (1.0 - 2.0 * low)
            }
            Law::SortedOut => {
                let outside = ((x.abs() - HOLE).max(0.0) / (1.0 - HOLE)).copysign(x);
                f64::midpoint(1.0, outside)
            }
        }
    }

    /// Standard deviation, as a share of the tolerance.
    #[must_use]
    pub fn sigma(self) -> f64 {
        let variance: f64 = match self {
            Law::Uniform => 1.0 / 3.0,
            Law::Normal => {
                let density = (-0.5 * SIGMAS * SIGMAS).exp() / std::f64::consts::TAU.sqrt();
                let inside = 1.0 - 2.0 * normal_cumulative(-SIGMAS);
                (1.0 - 2.0 * SIGMAS * density / inside) / (SIGMAS * SIGMAS)
            }
            Law::SortedOut => (1.0 + HOLE + HOLE * HOLE) / 3.0,
        };
        variance.sqrt()
    }
}

#[cfg(test)]
mod tests {
    //! Order of trust: closed form, round trip, physical invariant.
    use super::Law;

    /// Closed form: mean 0 and the variance stated, by the midpoint rule over 200 000 shares.
    #[test]
    fn the_moments_are_those_stated() {
        for law in Law::ALL {
            const N: u32 = 200_000;
            let (mut mean, mut square, mut fourth) = (0.0, 0.0, 0.0);
            for k in 0..N {
                let x = law.quantile((f64::from(k) + 0.5) / f64::from(N));
                mean += x / f64::from(N);
                square += x * x / f64::from(N);
                fourth += x.powi(4) / f64::from(N);
            }
            // The midpoint rule is good to the square of the step, or to the step at a jump.
            assert!(mean.abs() < 1e-9, "{law:?}: mean {mean}");
            let variance = law.sigma().powi(2);
            assert!((square - variance).abs() < 1e-6, "{law:?}: {square}");
            if law == Law::Uniform {
                assert!((fourth - 0.2).abs() < 1e-6, "{fourth}");
            }
            if law == Law::SortedOut {
                // ∫ x⁴ over ½…1, twice: (1 − 1/32)/5 · 2.
                assert!((fourth - 0.3875).abs() < 1e-6, "{fourth}");
            }
        }
    }

    #[test]
    fn shares_and_deviations_are_inverse() {
        for law in Law::ALL {
            for k in 0..=1000 {
                let u = f64::from(k) / 1000.0;
                let back = law.cumulative(law.quantile(u));
                assert!((back - u).abs() < 1e-12, "{law:?} {u}: {back}");
            }
        }
    }

    #[test]
    fn nothing_is_outside_the_band_or_inside_the_hole() {
        for law in Law::ALL {
            let ends = [law.quantile(0.0), law.quantile(1.0)];
            assert!((ends[0] + 1.0).abs() < 1e-12 && (ends[1] - 1.0).abs() < 1e-12);
        }
        let at = |k: u32| Law::SortedOut.quantile(f64::from(k) / 500.0).abs();
        assert!((0..=500).all(|k| at(k) >= 0.5));
    }
}
