//! Which kind of stage makes each resonator.
//!
//! The numerator of a band-pass of `n` resonators is `sⁿ`. Either every stage
//! contributes one `s` (all band-pass), or stages work in twos, a peaking high-pass
//! giving `s²` and a peaking low-pass giving 1: the product is the same, the gains
//! on the way differ. With an odd number the middle resonator stays a band-pass.

use crate::bandpass::Resonator;
use crate::{Section, Shape};

/// Every resonator as a band-pass stage.
#[must_use]
pub fn all_band_pass(resonators: &[Resonator]) -> Vec<Section> {
    resonators
        .iter()
        .map(|r| section(r, Shape::BandPass))
        .collect()
}

/// Lower half as peaking low-pass stages, upper half as peaking high-pass stages, and a
/// band-pass in the middle of an odd number.
///
/// A low-pass below the pitch and a high-pass above it lean against each other, so
/// neither passes far-off signals at more than its own peak. `resonators` must be in
/// rising order.
#[must_use]
pub fn peaking(resonators: &[Resonator]) -> Vec<Section> {
    let n = resonators.len();
    resonators
        .iter()
        .enumerate()
        .map(|(i, r)| {
            let shape = if n % 2 == 1 && i == n / 2 {
                Shape::BandPass
            } else if i < n / 2 {
                Shape::LowPass
            } else {
                Shape::HighPass
            };
            section(r, shape)
        })
        .collect()
}

fn section(resonator: &Resonator, shape: Shape) -> Section {
    Section {
        shape,
        f0: resonator.f0,
        q: resonator.q,
    }
}
