//! What makes one set of values nicer than another that does the same.
//!
//! Resistors from 10 kΩ to 200 kΩ neither load the op-amp and the mid-supply node nor
//! pick up hum and hiss [OAFE 16.8.3 gives 1 kΩ to 100 kΩ; common practice]; each decade
//! outside costs [`Taste::decade`]. Errors under [`Taste::indifference`] are not told
//! apart, because the parts' own tolerances hide them.

use crate::topology::{Drift, PlaceKind};

/// Preferred resistors, ohm.
const PREFERRED: (f64, f64) = (10e3, 200e3);

/// Preferred film capacitors, farad: below, strays and the op-amp's input count; above,
/// they are large and dear (common practice).
const PREFERRED_FILM: (f64, f64) = (2.2e-9, 47e-9);

/// Costs added to the error of a stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taste {
    /// Error below which two designs count as equally good.
    pub indifference: f64,
    /// Cost of a part one decade outside the preferred range.
    pub decade: f64,
    /// Cost of an amplifier that moves the stage by its own half width.
    pub drift: f64,
}

impl Taste {
    /// Only the error counts.
    pub const NONE: Taste = Taste {
        indifference: 0.0,
        decade: 0.0,
        drift: 0.0,
    };

    /// The bench's habit: 0.3 % of error is nothing beside 1 % resistors and 5 %
    /// capacitors, and a decade of an awkward value is worth 1 %. A tenth of the half width
    /// moved by a typical amplifier, which another sample doubles, is worth 1 % too.
    pub const BENCH: Taste = Taste {
        indifference: 0.003,
        decade: 0.01,
        drift: 0.1,
    };

    /// Cost of an amplifier that moves a stage of that Q so far: `2Q|Δf0/f0| + |ΔQ/Q|` is how
    /// far its pole goes, in half widths.
    #[must_use]
    pub fn of_drift(&self, drift: Drift, q: f64) -> f64 {
        self.drift * (2.0 * q * drift.f0.abs() + drift.q.abs())
    }

    /// Cost of one value.
    #[must_use]
    pub fn of(&self, kind: PlaceKind, value: f64) -> f64 {
        let (low, high) = match kind {
            PlaceKind::Resistor => PREFERRED,
            PlaceKind::Capacitor => PREFERRED_FILM,
        };
        if self.decade <= 0.0 {
            0.0
        } else if value < low {
            self.decade * (low / value).log10()
        } else if value > high {
            self.decade * (value / high).log10()
        } else {
            0.0
        }
    }
}
