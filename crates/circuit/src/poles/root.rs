//! Poles and zeros: what they are and in which order they are listed.

use crate::state_space::StateSpace;
use crate::system::Unsolvable;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// A pole or a zero; of a complex pair only the upper one is listed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// Real part, rad/s; below zero for whatever dies out.
    pub re_rad_s: f64,
    /// Imaginary part, rad/s, not below zero.
    pub im_rad_s: f64,
    /// Natural frequency `|s|/2π`, Hz.
    pub f_hz: f64,
    /// Quality factor `|s|/(−2 Re s)`; `None` for a real root or one on or right of the axis.
    pub q: Option<f64>,
}

impl Root {
    /// The figures of the root `s`, rad/s.
    #[must_use]
    pub fn of(s: Complex64) -> Self {
        let complex = s.im != 0.0;
        Root {
            re_rad_s: s.re,
            im_rad_s: s.im.abs(),
            f_hz: s.norm() / TAU,
            q: (complex && s.re < 0.0).then(|| s.norm() / (-2.0 * s.re)),
        }
    }

    /// The root itself, rad/s (of a pair the upper one).
    #[must_use]
    pub fn s(&self) -> Complex64 {
        Complex64::new(self.re_rad_s, self.im_rad_s)
    }

    /// Whether it stands for a complex pair.
    #[must_use]
    pub fn is_pair(&self) -> bool {
        self.im_rad_s > 0.0
    }
}

/// The finite poles of a circuit, slowest natural frequency first.
///
/// # Errors
/// [`Unsolvable`] when the equations are singular or the eigenvalues do not settle.
pub fn poles(space: &StateSpace) -> Result<Vec<Root>, Unsolvable> {
    Ok(listed(&space.poles()?))
}

/// Roots as a user reads them: one of each pair, slowest first.
pub(super) fn listed(all: &[Complex64]) -> Vec<Root> {
    let mut roots: Vec<Root> = all
        .iter()
        .filter(|s| s.im >= 0.0)
        .map(|&s| Root::of(s))
        .collect();
    roots.sort_by(|a, b| a.f_hz.total_cmp(&b.f_hz));
    roots
}
