//! Stages of equal width set side by side by hand.

use units::Hertz;

use crate::{Section, Shape};

/// Band-pass stages, each `stage_width` wide at 3 dB, at `centre` plus each offset.
///
/// This is the builder's stagger: the same stage several times, each trimmed a little
/// off. Offsets that would put a stage at or below zero frequency are a programmer's
/// slip.
#[must_use]
pub fn staggered(centre: Hertz, stage_width: Hertz, offsets: &[Hertz]) -> Vec<Section> {
    offsets
        .iter()
        .map(|offset| {
            let f0 = centre.0 + offset.0;
            assert!(f0 > 0.0, "stage at {f0} Hz");
            Section {
                shape: Shape::BandPass,
                f0: Hertz(f0),
                q: f0 / stage_width.0,
            }
        })
        .collect()
}
