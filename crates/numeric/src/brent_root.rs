//! A root of `f` between two points where `f` has opposite signs.
//!
//! Inverse quadratic interpolation, secant and bisection combined so that no step is worse
//! than bisection by more than a constant. [BRENT1973, ch. 4, procedure
//! `zero`; from memory] Accuracy: the returned point lies
//! within `tolerance + 4 ε |x|` of a sign change of the computed `f`.

/// Two points and the values there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bracket {
    /// One end and `f` there.
    pub a: (f64, f64),
    /// The other end and `f` there.
    pub b: (f64, f64),
}

/// The ends do not have opposite signs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotBracketed(pub Bracket);

/// The root of `f` inside `bracket`, within `tolerance`.
///
/// # Errors
/// [`NotBracketed`] when the two values have the same sign or one is NaN.
pub fn brent_root(
    mut f: impl FnMut(f64) -> f64,
    bracket: Bracket,
    tolerance: f64,
) -> Result<f64, NotBracketed> {
    let ((mut a, mut fa), (mut b, mut fb)) = (bracket.a, bracket.b);
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    // A NaN on either side is no bracket.
    if fa.is_nan() || fb.is_nan() || fa.signum() * fb.signum() > 0.0 {
        return Err(NotBracketed(bracket));
    }
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut before = step;
    // Brent's bound is about (log2 of the range over the tolerance)² ; doubles need fewer.
    for _ in 0..400 {
        if fc.signum() == fb.signum() {
            (c, fc) = (a, fa);
            step = b - a;
            before = step;
        }
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let enough = 2.0 * f64::EPSILON * b.abs() + 0.5 * tolerance;
        let middle = 0.5 * (c - b);
        if middle.abs() <= enough || fb == 0.0 {
            break;
        }
        if before.abs() < enough || fa.abs() <= fb.abs() {
            step = middle;
            before = middle;
        } else {
            let (p, q) = interpolate((a, fa), (b, fb), (c, fc), middle);
            if 2.0 * p < (3.0 * middle * q - (enough * q).abs()).min((before * q).abs()) {
                before = step;
                step = p / q;
            } else {
                step = middle;
                before = middle;
            }
        }
        (a, fa) = (b, fb);
        b += if step.abs() > enough {
            step
        } else {
            enough.copysign(middle)
        };
        fb = f(b);
    }
    Ok(b)
}

/// Numerator (never negative) and denominator of the interpolated step from `b`.
fn interpolate(a: (f64, f64), b: (f64, f64), c: (f64, f64), middle: f64) -> (f64, f64) {
    let s = b.1 / a.1;
    let (p, q) = if (a.0 - c.0).abs() == 0.0 {
        (2.0 * middle * s, 1.0 - s)
    } else {
        let (q, r) = (a.1 / c.1, b.1 / c.1);
        (
            s * (2.0 * middle * q * (q - r) - (b.0 - a.0) * (r - 1.0)),
            (q - 1.0) * (r - 1.0) * (s - 1.0),
        )
    };
    if p > 0.0 { (p, -q) } else { (-p, q) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn root(f: impl Fn(f64) -> f64, a: f64, b: f64) -> Result<f64, NotBracketed> {
        let bracket = Bracket {
            a: (a, f(a)),
            b: (b, f(b)),
        };
        brent_root(f, bracket, 0.0)
    }

    /// Closed forms: √2, the fixed point of cos (0.739085133215160641…, OEIS A003957), a
    /// triple root, and a step.
    #[test]
    fn finds_known_roots() {
        assert!((root(|x| x * x - 2.0, 0.0, 2.0).unwrap() - 2.0_f64.sqrt()).abs() < 4e-16);
        assert!((root(|x| x.cos() - x, 0.0, 1.0).unwrap() - 0.739_085_133_215_160_6).abs() < 4e-16);
        assert!(root(|x| (x - 0.3).powi(3), -1.0, 1.0).unwrap() - 0.3 < 1e-5);
        let step = root(|x| if x < 0.123 { -1.0 } else { 1e6 }, -5.0, 7.0).unwrap();
        assert!((step - 0.123).abs() < 1e-15);
        assert!(root(|x| x * x + 1.0, -1.0, 1.0).is_err());
        assert!(root(|_| f64::NAN, -1.0, 1.0).is_err());
    }
}
