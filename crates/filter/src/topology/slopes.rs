//! Sensitivities of figures that are ratios of sums of products, in closed form.
//!
//! For `y = Σ t_k` with `t_k = ± Π x_i^{p_ki}` the logarithmic slope is
//! `∂ln y/∂ln x_i = Σ p_ki t_k / y`. ω0², the bandwidth and the gain of every topology
//! are such sums, so `S(ω0) = ½ slope(ω0²)`, `S(Q) = S(ω0) − slope(ω0/Q)`.

use super::sensitivity::Sensitivity;

/// One product: its value with sign, and the powers of the places in it.
pub(crate) struct Product(pub(crate) f64, pub(crate) &'static [(usize, f64)]);

/// Logarithmic slopes of the sum of these products, one a place.
fn slopes(places: usize, sum: &[Product]) -> Vec<f64> {
    let total: f64 = sum.iter().map(|p| p.0).sum();
    let mut slopes = vec![0.0; places];
    for Product(value, powers) in sum {
        for &(place, power) in *powers {
            slopes[place] += power * value / total;
        }
    }
    slopes
}

/// Sensitivities from ω0², the bandwidth ω0/Q and the gain, each a sum of products; the
/// gain is over the sum `per` (a single 1 where it is not a ratio).
pub(crate) fn sensitivities(
    places: usize,
    w0_squared: &[Product],
    bandwidth: &[Product],
    gain: &[Product],
    per: &[Product],
) -> Vec<Sensitivity> {
    let w0 = slopes(places, w0_squared);
    let width = slopes(places, bandwidth);
    let gain = slopes(places, gain);
    let per = slopes(places, per);
    (0..places)
        .map(|k| {
            let f0 = 0.5 * w0[k];
            Sensitivity::new(f0, f0 - width[k], gain[k] - per[k])
        })
        .collect()
}
