//! Poles and zeros: what they are, how they are found and in which order they are listed.

use crate::NodeId;
use crate::state_space::StateSpace;
use crate::system::{System, Unsolvable};
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

/// The finite zeros of the transfer from the source to `output`, slowest first.
///
/// They are the poles of the circuit whose source is whatever keeps `output` at 0 V. A zero of
/// multiplicity m at 0 (m coupling capacitors) comes out as m roots within about `ε^(1/m)` of
/// the shift, around a mean that is 0 but for rounding; such a cluster is set to 0.
///
/// # Errors
/// [`Unsolvable`] when the output never sees the source, or the eigenvalues do not settle.
pub fn zeros(system: &System, output: NodeId) -> Result<Vec<Root>, Unsolvable> {
    let Some(nulled) = system.with_output_nulled(output) else {
        return Err(Unsolvable::PortOnRail { port: "output" });
    };
    let mut roots = StateSpace::reduce(&nulled)?.poles()?;
    gather_at_zero(&mut roots);
    Ok(listed(&roots))
}

/// Sets to 0 the largest cluster of small roots that rounding can have made of one at 0.
fn gather_at_zero(roots: &mut [Complex64]) {
    let scale = TAU * 700.0;
    roots.sort_by(|a, b| a.norm().total_cmp(&b.norm()));
    for count in (1..=roots.len()).rev() {
        let cluster = &mut roots[..count];
        let spread = scale * 1e-13_f64.powf(1.0 / count as f64);
        let mean: Complex64 = cluster.iter().sum::<Complex64>() / count as f64;
        if cluster[count - 1].norm() <= spread.min(1e-2 * scale) && mean.norm() <= 1e-9 * scale {
            cluster.fill(Complex64::ZERO);
            return;
        }
    }
}

fn listed(all: &[Complex64]) -> Vec<Root> {
    let mut roots: Vec<Root> = all
        .iter()
        .filter(|s| s.im >= 0.0)
        .map(|&s| Root::of(s))
        .collect();
    roots.sort_by(|a, b| a.f_hz.total_cmp(&b.f_hz));
    roots
}
