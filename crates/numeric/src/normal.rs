//! The normal distribution and its inverse.
//!
//! Equation: `Φ(z) = ½ erfc(−z/√2)`, with the complementary error function of the `libm` library;
//! the inverse is the rational approximation of [WICHURA1988, algorithm AS 241, PPND16; from
//! memory], whose coefficients the round trip through `Φ` and the closed forms below confirm.
//!
//! Symbols: `z` number of standard deviations; `u` share of the distribution below it.
//! Range: every `z`; `u` from 0 to 1, whose ends give −∞ and +∞.
//! Accuracy: `Φ` within 1e-15 relative in either tail; the inverse within 1e-15 of `z` relative.

use std::f64::consts::FRAC_1_SQRT_2;

/// Share of a normal distribution below `z` standard deviations.
#[must_use]
pub fn normal_cumulative(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// The standard deviations below which a share `u` of a normal distribution lies.
///
/// # Panics
/// When `u` is not within 0 to 1.
#[must_use]
pub fn normal_quantile(u: f64) -> f64 {
    assert!((0.0..=1.0).contains(&u), "a share of {u}");
    let q = u - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180625 - q * q;
        return q * ratio(r, &CENTRE_OVER, &CENTRE_UNDER);
    }
    let tail = if q < 0.0 { u } else { 1.0 - u };
    if tail == 0.0 {
        return q.signum() * f64::INFINITY;
    }
    let r = (-tail.ln()).sqrt();
    let z = if r <= 5.0 {
        ratio(r - 1.6, &TAIL_OVER, &TAIL_UNDER)
    } else {
        ratio(r - 5.0, &FAR_OVER, &FAR_UNDER)
    };
    z.copysign(q)
}

/// One polynomial over another, coefficients by rising power.
fn ratio(x: f64, over: &[f64; 8], under: &[f64; 8]) -> f64 {
    let at = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, k| sum * x + k);
    at(over) / at(under)
}

/// Coefficients for shares of 0.075 to 0.925 [WICHURA1988].
const CENTRE_OVER: [f64; 8] = [
    3.3871328727963666080e0,
    1.3314166789178437745e2,
    1.9715909503065514427e3,
    1.3731693765509461125e4,
    4.5921953931549871457e4,
    6.7265770927008700853e4,
    3.3430575583588128105e4,
    2.5090809287301226727e3,
];
const CENTRE_UNDER: [f64; 8] = [
    1.0,
    4.2313330701600911252e1,
    6.8718700749205790830e2,
    5.3941960214247511077e3,
    2.1213794301586595867e4,
    3.9307895800092710610e4,
    2.8729085735721942674e4,
    5.2264952788528545610e3,
];
/// The same for tails down to exp(−25).
const TAIL_OVER: [f64; 8] = [
    1.42343711074968357734e0,
    4.63033784615654529590e0,
    5.76949722146069140550e0,
    3.64784832476320460504e0,
    1.27045825245236838258e0,
    2.41780725177450611770e-1,
    2.27238449892691845833e-2,
    7.74545014278341407640e-4,
];
const TAIL_UNDER: [f64; 8] = [
    1.0,
    2.05319162663775882187e0,
    1.67638483018380384940e0,
    6.89767334985100004550e-1,
    1.48103976427480074590e-1,
    1.51986665636164571966e-2,
    5.47593808499534494600e-4,
    1.05075007164441684324e-9,
];
/// The same for tails beyond.
const FAR_OVER: [f64; 8] = [
    6.65790464350110377720e0,
    5.46378491116411436990e0,
    1.78482653991729133580e0,
    2.96560571828504891230e-1,
    2.65321895265761230930e-2,
    1.24266094738807843860e-3,
    2.71155556874348757815e-5,
    2.01033439929228813265e-7,
];
const FAR_UNDER: [f64; 8] = [
    1.0,
    5.99832206555887937690e-1,
    1.36929880922735805310e-1,
    1.48753612908506148525e-2,
    7.86869131145613259100e-4,
    1.84631831751005468180e-5,
    1.42151175831644588870e-7,
    2.04426310338993978564e-15,
];

#[cfg(test)]
mod tests {
    //! Order of trust: closed form, then round trip.
    use super::*;

    /// Closed form: shares within 1, 2 and 3 standard deviations, and the quantile of 97.5 %
    /// (tables of the normal distribution, from memory; recomputed with 30 digits).
    #[test]
    fn the_known_shares_come_out() {
        let within = |z: f64| normal_cumulative(z) - normal_cumulative(-z);
        for (z, share) in [
            (1.0, 0.682_689_492_137_085_9),
            (2.0, 0.954_499_736_103_641_6),
            (3.0, 0.997_300_203_936_739_8),
        ] {
            assert!((within(z) - share).abs() < 1e-15, "{z}");
        }
        let z = normal_quantile(0.975);
        assert!((z - 1.959_963_984_540_054).abs() < 1e-14, "{z}");
    }

    /// Round trip, out to tails of 1e-300.
    #[test]
    fn the_inverse_is_the_inverse() {
        for k in 1..=3000 {
            let u = 10_f64.powf(-f64::from(k) / 10.0);
            for u in [u, 1.0 - u].into_iter().filter(|u| *u > 0.0 && *u < 1.0) {
                let z = normal_quantile(u);
                let back = normal_cumulative(z);
                // One rounding of z moves the share by z·φ(z)/Φ(z) ≈ z² of them.
                let allowed = 1e-15 * (4.0 + 2.0 * z * z);
                assert!((back / u - 1.0).abs() < allowed, "{u}: {back}");
            }
        }
    }

    #[test]
    fn the_ends_are_infinite_and_the_middle_is_nothing() {
        assert!(normal_quantile(0.0).is_infinite() && normal_quantile(0.0) < 0.0);
        assert!(normal_quantile(1.0).is_infinite() && normal_quantile(1.0) > 0.0);
        assert_eq!(normal_quantile(0.5).to_bits() << 1, 0);
    }
}
