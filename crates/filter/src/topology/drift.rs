//! How far a real op-amp pulls a pole pair from where the ideal one puts it.
//!
//! With one op-amp of open-loop gain `a(s) = ωt / (s + ωb)` the characteristic
//! polynomial of a stage is `D(s) + (s + ωb)/ωt · E(s)`, where `D = s² + s ω0/Q + ω0²`
//! belongs to the ideal op-amp and `E` to the network with the loop opened, times the
//! closed-loop gain of the amplifier [FRANCO, ch. 6]. The moved pole is the root next to
//! the ideal one, found by Newton's rule from there. Exact for one amplifier; where several
//! add their `E`, terms of second order are left out: (f0·Q/ft)² relative, under 1e-4
//! where this house accepts a stage. Real poles (Q ≤ ½) are not moved.

use num_complex::Complex64;
use parts::OpampModel;
use std::f64::consts::TAU;

/// Relative shifts caused by finite gain-bandwidth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// Relative shift of the natural frequency, Δf0/f0.
    pub f0: f64,
    /// Relative shift of the quality factor, ΔQ/Q.
    pub q: f64,
}

impl Drift {
    /// No shift.
    pub const NONE: Drift = Drift { f0: 0.0, q: 0.0 };
}

/// The polynomial `E(s)`, lowest power first, rad/s; divided by the leading term of `D`.
pub(crate) type Opened = [f64; 4];

/// Newton steps: quadratic convergence from a start nearer than 0.1 relative.
const STEPS: usize = 4;

/// Shift of the pole pair (ω0 in rad/s, Q) for the opened-loop polynomial `E`.
pub(crate) fn drift(w0: f64, q: f64, opened: &Opened, amplifier: &OpampModel) -> Drift {
    if amplifier.is_ideal() || q <= 0.5 {
        return Drift::NONE;
    }
    let wt = TAU * amplifier.gain_bandwidth.0;
    let wb = wt / amplifier.dc_gain;
    let half = w0 / (2.0 * q);
    let mut pole = Complex64::new(-half, (w0 * w0 - half * half).sqrt());
    for _ in 0..STEPS {
        let (e, de) = horner(opened, pole);
        let lag = (pole + wb) / wt;
        let value = pole * pole + pole * (w0 / q) + w0 * w0 + lag * e;
        let slope = 2.0 * pole + w0 / q + e / wt + lag * de;
        pole -= value / slope;
    }
    let moved = pole.norm();
    Drift {
        f0: moved / w0 - 1.0,
        q: moved / (-2.0 * pole.re) / q - 1.0,
    }
}

/// Value and derivative of a polynomial, lowest power first.
fn horner(polynomial: &Opened, s: Complex64) -> (Complex64, Complex64) {
    let zero = Complex64::new(0.0, 0.0);
    polynomial
        .iter()
        .rev()
        .fold((zero, zero), |(value, slope), &c| {
            (value * s + c, slope * s + value)
        })
}
