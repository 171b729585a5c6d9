//! What is taken for granted about parts that a circuit file does not say.
//!
//! | kind | tolerance where none is stated | law |
//! |---|---|---|
//! | resistor up to 2 % | – | normal: one line makes them, and its middle is watched |
//! | resistor over 2 % | 5 % | uniform |
//! | capacitor | as its dielectric is commonly sold | uniform |
//! | inductor | 10 % | uniform |
//! | pot | 20 % | uniform |
//! | op-amp, gain-bandwidth | 30 % | uniform; amplifiers of one package alike |
//!
//! Source: common practice; data sheets give a typical gain-bandwidth and seldom bound it, and
//! samples of one type differ by about a third.

use crate::Law;
use circuit::system::Property;
use circuit::{Element, Part};

/// Greatest tolerance that is reckoned with; a part that can be anything is no part of a figure.
const MOST: f64 = 0.9;

/// What the user may say about parts in general.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// The law of resistors; left out, by the table.
    pub resistors: Option<Law>,
    /// The law of capacitors; left out, by the table.
    pub capacitors: Option<Law>,
    /// How alike parts of one kind and printed value are: ρ of the copula, 0 to 1.
    pub alike: f64,
    /// Coldest and warmest, kelvin from 25 °C.
    pub warmth_k: (f64, f64),
}

impl Default for Rules {
    /// Laws by the table; parts of one bag half alike, since a reel is wound in one go and strays
    /// less than its tolerance (common practice); a room of 15 °C to 35 °C.
    fn default() -> Self {
        Rules {
            resistors: None,
            capacitors: None,
            alike: 0.5,
            warmth_k: (-10.0, 10.0),
        }
    }
}

impl Rules {
    /// Parts bought one by one, anywhere in their tolerance, in a room that keeps 25 °C: what
    /// tables of yields are made for.
    #[must_use]
    pub fn of_tables() -> Self {
        Rules {
            resistors: Some(Law::Uniform),
            capacitors: Some(Law::Uniform),
            alike: 0.0,
            warmth_k: (0.0, 0.0),
        }
    }

    /// Tolerance of one number of a part, and whether the part itself states it. `None` for
    /// numbers that are not reckoned with.
    pub(crate) fn tolerance(part: &Part, property: Property) -> Option<(f64, bool)> {
        let assumed = match (property, &part.element) {
            (Property::GainBandwidth, _) => return Some((0.3, true)),
            (Property::Resistance, Element::Pot(_)) => 0.2,
            (Property::Resistance, _) => 0.05,
            (Property::Capacitance, Element::Capacitor { dielectric, .. }) => {
                dielectric.facts().tolerance.0
            }
            (Property::Inductance, _) => 0.1,
            _ => return None,
        };
        Some(match part.tolerance {
            Some(stated) => (stated.0.min(MOST), true),
            None => (assumed, false),
        })
    }

    pub(crate) fn law(&self, part: &Part, property: Property, tolerance: f64) -> Law {
        match (property, &part.element) {
            (Property::Resistance, Element::Resistor { .. }) => {
                let by_table = if tolerance <= 0.02 {
                    Law::Normal
                } else {
                    Law::Uniform
                };
                self.resistors.unwrap_or(by_table)
            }
            (Property::Capacitance, _) => self.capacitors.unwrap_or(Law::Uniform),
            _ => Law::Uniform,
        }
    }
}
