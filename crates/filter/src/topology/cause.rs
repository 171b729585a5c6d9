//! What kind of thing stands in the way of a design.

use units::Hertz;

/// What would have to change before a design that was refused can be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// No op-amp of the list works at the supply.
    Supply,
    /// No op-amp of the list that works at the supply is fast enough.
    Speed {
        /// Gain-bandwidth product that would do for every stage of this design.
        wanted: Hertz,
    },
    /// The series and ranges hold no value at all.
    Stock,
    /// The series and ranges hold no values that come near enough.
    Values,
    /// The stage is not made for such a section, whatever the parts.
    Stage,
}
