//! Would a real circuit stay at this point of rest?
//!
//! A balance can be unstable: an amplifier whose inputs are changed over balances on paper
//! and goes to a rail on the bench. Near the point `C dδ/dt = −J δ`, so a mode `e^{λt}` has
//! `J⁻¹C δ = −δ/λ`: a real negative eigenvalue of `J⁻¹C` is a mode that runs away without
//! swinging. (Growing oscillations are the business of the poles, not of the rest point.)
//!
//! The eigenvalues are only computed for circuits that could latch: where some amplifier,
//! all others held, has more positive than negative feedback at rest, or where the
//! determinant of all of them together has the sign of a latch.

use nalgebra::DMatrix;

use crate::network::{AT_REST, Amplify, Factored, Network, Square};

/// Growth faster than this counts, 1/s: a capacitor's leakage is slower.
const LEAST_GROWTH: f64 = 1e-3;
/// Growth no amplifier we know of reaches, 1/s: beyond it only rounding is left.
const GREATEST_GROWTH: f64 = 1e10;
/// Share of the greatest eigenvalue under which an eigenvalue is rounding.
const ROUNDING: f64 = 1e-13;
/// Two equal real modes come out of the computation as a pair this near the axis.
const REAL_WITHIN: f64 = 1e-6;

/// Whether some mode runs away from `z` without swinging.
pub(crate) fn runs_away(network: &Network, z: &[f64]) -> bool {
    if network.amplifiers.is_empty() {
        return false;
    }
    let n = network.size();
    let mut jacobian = Square::zero(n);
    let mut residual = vec![0.0; n];
    network.evaluate(
        z,
        Amplify::Full,
        &[],
        0.0,
        &mut residual,
        Some(&mut jacobian),
    );
    let Ok(factored) = Factored::of(&jacobian, AT_REST) else {
        return false;
    };
    could_latch(network, &factored) && grows(network, &factored)
}

/// `S = (E J⁻¹ Eᵀ)⁻¹` is the slope of each stage's equation against its own voltage with
/// everything else solved for; the diagonal is read with the other stages held.
fn could_latch(network: &Network, factored: &Factored) -> bool {
    let stages: Vec<usize> = network.amplifiers.iter().map(|a| a.stage).collect();
    let count = stages.len();
    let mut inverse = DMatrix::zeros(count, count);
    for (column, &stage) in stages.iter().enumerate() {
        let mut unit = vec![0.0; network.size()];
        unit[stage] = 1.0;
        let response = factored.solve(&unit);
        for (row, &other) in stages.iter().enumerate() {
            inverse[(row, column)] = response[other];
        }
    }
    let determinant = inverse.determinant();
    match inverse.try_inverse() {
        Some(slopes) => determinant < 0.0 || slopes.diagonal().iter().any(|&s| s < 0.0),
        None => true,
    }
}

fn grows(network: &Network, factored: &Factored) -> bool {
    let n = network.size();
    let mut system = DMatrix::zeros(n - 1, n - 1);
    for column in 1..n {
        let right: Vec<f64> = (0..n).map(|row| network.storage.at(row, column)).collect();
        let solved = factored.solve(&right);
        for row in 1..n {
            system[(row - 1, column - 1)] = solved[row];
        }
    }
    if system.iter().any(|x| !x.is_finite()) {
        return false;
    }
    let Some(schur) = nalgebra::Schur::try_new(system, f64::EPSILON, 10_000) else {
        return false;
    };
    let eigenvalues = schur.complex_eigenvalues();
    let greatest = eigenvalues.iter().fold(0.0_f64, |m, mu| m.max(mu.norm()));
    eigenvalues.iter().any(|mu| {
        let growth = -1.0 / mu.re;
        let is_real = mu.im.abs() <= REAL_WITHIN * mu.re.abs();
        let is_sound = mu.norm() > ROUNDING * greatest && growth < GREATEST_GROWTH;
        mu.re < 0.0 && is_real && is_sound && growth > LEAST_GROWTH
    })
}
