//! How short a tail can be at all.
//!
//! A filter whose memory is exactly `T` and which rejects by `R` dB from `D` outwards has
//! `D·T ≥ acosh(10^(R/20))/π`: the transform of the continuous Dolph–Chebyshev window
//! [DOLPH; from memory, agrees with a linear program to 0.1 dB]. A tail may linger below
//! −40 dB, so a real filter can come a little under it: for any linear filter whose
//! envelope reaches −40 dB at `T` and falls another 20 dB per `T` the least `D·T` is
//! 0.902, 1.183 and 1.406 at 20, 30 and 40 dB [recomputed by linear programming, ±2 %].
//! Both are statements about the narrow band: the offset small against the pitch and the
//! rejection on both sides.

/// Least `D·T` of a filter that remembers for `T` only.
///
/// `rejection_db` above zero.
#[must_use]
pub fn memory_bound(rejection_db: f64) -> f64 {
    10.0_f64.powf(rejection_db / 20.0).acosh() / std::f64::consts::PI
}

/// Least `D·T` to −40 dB of any linear filter, `None` outside 20 to 40 dB.
///
/// Linear between the three computed points, lowered by their 2 % uncertainty.
#[must_use]
pub fn linear_bound(rejection_db: f64) -> Option<f64> {
    let between = |from: (f64, f64), to: (f64, f64)| {
        from.1 + (to.1 - from.1) * (rejection_db - from.0) / (to.0 - from.0)
    };
    let value = match rejection_db {
        r if (20.0..30.0).contains(&r) => between((20.0, 0.902), (30.0, 1.183)),
        r if (30.0..=40.0).contains(&r) => between((30.0, 1.183), (40.0, 1.406)),
        _ => return None,
    };
    Some(0.98 * value)
}
