//! What a cut tone leaves, and how that moves with every part, by the inverse Laplace transform.
//!
//! The ring-down of a tone `e^{jωt}` has the transform `(H(jω) − H(s))/(s − jω)`, so
//! `z(t) = H(jω) e^{jωt} − (1/2πj) ∫ e^{st} H(s)/(s − jω) ds` along a line right of all poles and of
//! jω; its derivative with respect to a part is the same with `dH` for `H`. The line is bent
//! left at `±jY` into two rays that end where `e^{st}` is below 1e-15; the circuit's poles are
//! known, so `Y` is set where the rays pass none within `1/t`. Integration by 8-point Gauss panels
//! of 2π/3t, three over t right of the axis: error about 1e-9 of `H`.
//!
//! This is a second route to the envelope, which shares nothing with the stepping of
//! [`crate::state_space::Ringdown`].

use super::gradient::gradient;
use crate::NodeId;
use crate::ac::Solver;
use crate::poles::Root;
use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// Positive nodes and weights of the 8-point Gauss–Legendre rule ([ABRAMOWITZ, table 25.4; from
/// memory], checked below by exactness to degree 15).
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_26),
];
/// More nodes than this mean a nearly undamped resonance far above the pitch.
const MOST_NODES: usize = 40_000;

/// The phasor `z(t)` after the cut with its derivatives, relative to nothing.
pub(super) struct Remains {
    pub(super) value: Complex64,
    /// `dz/dt`, 1/s.
    pub(super) rate: Complex64,
    /// `dz/d ln p` of every parameter.
    pub(super) of: Vec<Complex64>,
    /// `H(jω)`.
    pub(super) settled: Complex64,
    /// `dH(jω)/d ln p` of every parameter.
    pub(super) settled_of: Vec<Complex64>,
}

/// What a tone of `pitch_hz` leaves at `output` at `t` > 0. `None` when a pole lies in the way.
pub(super) fn remains(
    solver: &mut Solver<'_>,
    poles: &[Root],
    output: NodeId,
    pitch_hz: f64,
    t: f64,
) -> Option<Remains> {
    let tone = Complex64::new(0.0, TAU * pitch_hz);
    let turned = (tone * t).exp();
    let at_pitch = gradient(solver, tone, output).ok()?;
    let mut remains = Remains {
        value: at_pitch.value * turned,
        rate: at_pitch.value * turned * tone,
        of: at_pitch.of.iter().map(|d| d * turned).collect(),
        settled: at_pitch.value,
        settled_of: at_pitch.of,
    };
    for (s, step) in nodes(poles, tone.im, t)? {
        let here = gradient(solver, s, output).ok()?;
        // (1/2πj) e^{st} ds/(s − jω) for s, and for its mirror image, where H is conjugate and the
        // line runs the other way.
        let factor = Complex64::new(0.0, -1.0 / TAU);
        let upper = (s * t).exp() / (s - tone) * step * factor;
        let mirror = s.conj();
        let lower = (mirror * t).exp() / (mirror - tone) * -step.conj() * factor;
        remains.value -= here.value * upper + here.value.conj() * lower;
        remains.rate -= here.value * upper * s + here.value.conj() * lower * mirror;
        for (sum, d) in remains.of.iter_mut().zip(&here.of) {
            *sum -= d * upper + d.conj() * lower;
        }
    }
    Some(remains)
}

/// Nodes and steps `ds` along the upper half of the line: up from the real axis at `3/t`, then
/// left to `−36/t`.
fn nodes(poles: &[Root], omega: f64, t: f64) -> Option<Vec<(Complex64, Complex64)>> {
    let (right, left) = (3.0 / t, -36.0 / t);
    let top = turn(poles, omega, t, left)?;
    let panels_for = |length: f64| ((1.5 * length * t / PI).ceil() as usize).max(1);
    let (up, over) = (panels_for(top), panels_for(right - left));
    if 8 * (up + over) > MOST_NODES {
        return None;
    }
    let mut nodes = Vec::with_capacity(8 * (up + over));
    let corner = Complex64::new(right, top);
    panels(&mut nodes, Complex64::from(right), corner, up);
    panels(&mut nodes, corner, Complex64::new(left, top), over);
    Some(nodes)
}

/// The height `Y` at which to turn left: above the pitch and every pole that still counts, and
/// far from those that only nearly do.
fn turn(poles: &[Root], omega: f64, t: f64, left: f64) -> Option<f64> {
    let near: Vec<f64> = poles
        .iter()
        .filter(|p| p.re_rad_s > 1.5 * left)
        .map(|p| p.im_rad_s)
        .collect();
    let highest = near.iter().copied().fold(omega, f64::max);
    let top = highest + (6.0 / t).max(0.05 * highest);
    top.is_finite().then_some(top)
}

fn panels(nodes: &mut Vec<(Complex64, Complex64)>, from: Complex64, to: Complex64, count: usize) {
    let panel = (to - from) / count as f64;
    for k in 0..count {
        let centre = from + panel * (k as f64 + 0.5);
        for (node, weight) in GAUSS {
            for sign in [-1.0, 1.0] {
                nodes.push((centre + panel * (0.5 * sign * node), panel * (0.5 * weight)));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::GAUSS;

    /// Closed form: the rule is exact for even powers to 14.
    #[test]
    fn gauss_rule_is_exact() {
        for power in [0, 2, 4, 6, 8, 10, 12, 14] {
            let sum: f64 = GAUSS.iter().map(|(x, w)| 2.0 * w * x.powi(power)).sum();
            assert!((sum - 2.0 / f64::from(power + 1)).abs() < 1e-15);
        }
    }
}
