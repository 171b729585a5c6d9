//! How far an amplifier's output may swing about the mid-supply voltage.

use parts::OpampModel;
use units::Volts;

/// Greatest peak about half the supply before the output meets its nearer limit, V;
/// 0 where the op-amp has no room at all, infinite for the textbook one.
#[must_use]
pub(crate) fn peak(amplifier: &OpampModel, supply: Volts) -> f64 {
    let half = supply.0 / 2.0;
    let up = half - amplifier.swing.below_positive.0;
    let down = half - amplifier.swing.above_negative.0;
    up.min(down).max(0.0)
}
