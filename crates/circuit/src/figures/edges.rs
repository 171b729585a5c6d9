//! Where a response first reaches a level from below, and where it last leaves it.
//!
//! Outermost crossings count: a ripple inside, or a lobe outside that comes up to the level,
//! belongs to what an ear hears above that level. Each crossing is refined on the response
//! itself (Brent, to 1e-10 of the frequency), not on the samples.

use super::Curve;
use numeric::{Bracket, brent_root};

/// The band inside which a response lies above a level; an edge beyond the curve is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lower edge, Hz.
    pub low: Option<f64>,
    /// Upper edge, Hz.
    pub high: Option<f64>,
}

impl Band {
    /// Both edges, if both are there.
    #[must_use]
    pub fn edges(&self) -> Option<(f64, f64)> {
        Some((self.low?, self.high?))
    }

    /// Full width, Hz.
    #[must_use]
    pub fn width(&self) -> Option<f64> {
        self.edges().map(|(low, high)| high - low)
    }

    /// Geometric mean of the edges, Hz.
    #[must_use]
    pub fn centre(&self) -> Option<f64> {
        self.edges().map(|(low, high)| (low * high).sqrt())
    }
}

/// The outermost crossings of the power `level`.
pub fn band(curve: &Curve, level: f64, mut power: impl FnMut(f64) -> f64) -> Band {
    let above = |k: &usize| curve.power[*k] >= level;
    let count = curve.f_hz.len();
    let mut cross = |outside: usize, inside: usize| {
        let at = |k: usize| (curve.f_hz[k].ln(), (curve.power[k] / level).ln());
        let bracket = Bracket {
            a: at(outside),
            b: at(inside),
        };
        let difference = |x: f64| (power(x.exp()) / level).ln();
        brent_root(difference, bracket, 1e-10).ok().map(f64::exp)
    };
    let low = (0..count).find(above).filter(|&k| k > 0);
    let high = (0..count).rev().find(above).filter(|&k| k + 1 < count);
    Band {
        low: low.and_then(|k| cross(k - 1, k)),
        high: high.and_then(|k| cross(k + 1, k)),
    }
}
