//! The geometric transform from low-pass to band-pass.
//!
//! Equation: `s_lp = (s² + ω0²)/(B s)`; each prototype pole `p` gives the two roots of
//! `s² − pB s + ω0² = 0`, so a real pole gives one resonator at `ω0` and a pair of
//! poles gives two, at frequencies whose product is `ω0²`, of equal Q
//! [FRANCO, ex. 4.5]. Symbols: `ω0 = 2π f0` centre, `B = 2π width` where `width` is the
//! full width at the level to which the prototype is normalised at 1 rad/s. Range: any
//! `f0`, `width` above zero. Accuracy: rounding.

use num_complex::Complex64;
use units::Hertz;

use crate::approximation::Prototype;

/// A pair of poles: where it stands and how sharp it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resonator {
    /// Natural frequency.
    pub f0: Hertz,
    /// Quality factor; below ½ both poles are real.
    pub q: f64,
}

/// The resonators of a prototype carried to `centre` with the full `width`, by rising
/// frequency.
#[must_use]
pub fn resonators(prototype: &Prototype, centre: Hertz, width: Hertz) -> Vec<Resonator> {
    assert!(
        centre.0 > 0.0 && width.0 > 0.0,
        "centre {centre:?}, width {width:?}"
    );
    let relative = width.0 / centre.0;
    let mut made: Vec<Resonator> = prototype
        .real()
        .iter()
        .map(|p| Resonator {
            f0: centre,
            q: 1.0 / (-p * relative),
        })
        .collect();
    for &p in prototype.pairs() {
        let half = 0.5 * relative * p;
        let root = (half * half - 1.0).sqrt();
        for s in [half + root, half - root] {
            made.push(resonator_of(s, centre));
        }
    }
    made.sort_by(|x, y| x.f0.0.total_cmp(&y.f0.0));
    made
}

fn resonator_of(s: Complex64, centre: Hertz) -> Resonator {
    Resonator {
        f0: Hertz(s.norm() * centre.0),
        q: s.norm() / (-2.0 * s.re),
    }
}
