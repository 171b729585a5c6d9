//! A local minimum of `f` between two points.
//!
//! Golden section with parabolic steps where they are safe. [BRENT1973, ch. 5,
//! procedure `localmin`; from memory] Accuracy: the
//! place of a smooth minimum is known to about `√ε` of its curvature radius at best, its
//! value to rounding; `tolerance` is on the place.

/// Place and value of a local minimum of `f` in `[from, to]`.
pub fn brent_minimum(
    mut f: impl FnMut(f64) -> f64,
    from: f64,
    to: f64,
    tolerance: f64,
) -> (f64, f64) {
    let same = |a: f64, b: f64| (a - b).abs() == 0.0;
    let golden = 0.5 * (3.0 - 5.0_f64.sqrt());
    let (mut a, mut b) = (from.min(to), from.max(to));
    let mut x = a + golden * (b - a);
    let (mut w, mut v) = (x, x);
    let mut fx = f(x);
    let (mut fw, mut fv) = (fx, fx);
    let (mut step, mut before) = (0.0_f64, 0.0_f64);
    for _ in 0..200 {
        let middle = 0.5 * (a + b);
        let enough = f64::EPSILON.sqrt() * x.abs() * 1e-2 + tolerance;
        if (x - middle).abs() <= 2.0 * enough - 0.5 * (b - a) {
            break;
        }
        let r = (x - w) * (fx - fv);
        let q = (x - v) * (fx - fw);
        let p = (x - v) * q - (x - w) * r;
        let q2 = 2.0 * (q - r);
        let (p, q) = if q2 > 0.0 { (-p, q2) } else { (p, -q2) };
        if before.abs() > enough
            && p.abs() < (0.5 * q * before).abs()
            && p > q * (a - x)
            && p < q * (b - x)
        {
            before = step;
            step = p / q;
            if (x + step - a) < 2.0 * enough || (b - x - step) < 2.0 * enough {
                step = enough.copysign(middle - x);
            }
        } else {
            before = if x < middle { b - x } else { a - x };
            step = golden * before;
        }
        let u = x + if step.abs() >= enough {
            step
        } else {
            enough.copysign(step)
        };
        let fu = f(u);
        if fu <= fx {
            if u < x {
                b = x
            } else {
                a = x
            }
            (v, fv, w, fw, x, fx) = (w, fw, x, fx, u, fu);
        } else {
            if u < x {
                a = u
            } else {
                b = u
            }
            if fu <= fw || same(w, x) {
                (v, fv, w, fw) = (w, fw, u, fu);
            } else if fu <= fv || same(v, x) || same(v, w) {
                (v, fv) = (u, fu);
            }
        }
    }
    (x, fx)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: a parabola, and the minimum of x + 1/x at 1.
    #[test]
    fn finds_known_minima() {
        let (x, y) = brent_minimum(|x| (x - 0.7).powi(2) + 3.0, -4.0, 9.0, 1e-12);
        assert!((x - 0.7).abs() < 1e-7 && (y - 3.0).abs() < 1e-14);
        let (x, y) = brent_minimum(|x| x + 1.0 / x, 0.1, 5.0, 1e-12);
        assert!((x - 1.0).abs() < 1e-7 && (y - 2.0).abs() < 1e-14);
    }
}
