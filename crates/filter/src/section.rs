//! One second-order (or first-order) factor of a filter: what a stage has to do.

use units::Hertz;

/// The numerator of a section over `s² + s ω0/Q + ω0²`, at unit gain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// `s ω0/Q`: gain 1 at f0.
    BandPass,
    /// `ω0²`: gain 1 at DC, Q at f0.
    LowPass,
    /// `s²`: gain 1 at infinity, Q at f0.
    HighPass,
    /// `s² + ωz²`: gain 1 at infinity, a null at the given frequency.
    Notch {
        /// Frequency of the null.
        zero: Hertz,
    },
    /// First order, `ω0 / (s + ω0)`; `q` is not used.
    FirstLowPass,
    /// First order, `s / (s + ω0)`; `q` is not used.
    FirstHighPass,
}

/// One factor of the filter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Its numerator.
    pub shape: Shape,
    /// Natural frequency.
    pub f0: Hertz,
    /// Quality factor.
    pub q: f64,
}
