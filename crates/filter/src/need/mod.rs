//! What the user asks for: the contents of `need.toml` once the gaps are filled.

mod amplifiers;
mod assume;
mod read;
mod stated;
#[cfg(test)]
mod tests;

pub(crate) use assume::opamp as everyday;
pub use read::read;
pub use stated::{PITCHES, SPEEDS, StatedLevels, StatedListening, StatedPhones};

use crate::values::Stock;
use parts::{Dielectric, OpampModel};
use units::{
    AmpereHours, Decibels, DecibelsPerMilliwatt, Farads, Hertz, Ohms, Ratio, Seconds, Volts, Wpm,
};

/// A signal that must be kept down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// Distance from the pitch, signed.
    pub offset: Hertz,
    /// Least attenuation against the gain at the pitch.
    pub down: Decibels,
}

/// What the ear is to hear.
#[derive(Debug, Clone, PartialEq)]
pub struct Listening {
    /// The pitch.
    pub pitch: Hertz,
    /// Fastest speed to be copied.
    pub speed: Wpm,
    /// Full width 6 dB down.
    pub width: Hertz,
    /// Longest tail, 20 dB down after key-up.
    pub tail: Seconds,
    /// Signals to be kept down.
    pub neighbours: Vec<Neighbour>,
}

/// Headphones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phones {
    /// Impedance of what the box drives.
    pub impedance: Ohms,
    /// dB SPL at 1 mW.
    pub sensitivity: DecibelsPerMilliwatt,
}

/// Levels around the box.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// Comfortable signal at the input, V rms.
    pub signal: Volts,
    /// The loudest thing that can arrive, V rms.
    pub strongest: Volts,
    /// Source impedance.
    pub source: Ohms,
    /// Gain at the pitch.
    pub gain: Decibels,
    /// The phones, if the box drives them.
    pub phones: Option<Phones>,
    /// What the output drives: the phones' impedance, or that of the input behind a line output.
    pub load: Ohms,
}

/// The supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Voltage when fresh.
    pub voltage: Volts,
    /// Voltage at which the box must still work.
    pub lowest: Volts,
    /// Battery capacity.
    pub capacity: Option<AmpereHours>,
}

impl Supply {
    /// Whether an op-amp works on it, fresh and flat.
    #[must_use]
    pub fn feeds(&self, amplifier: &OpampModel) -> bool {
        let (least, most) = amplifier.supply_range;
        least <= self.lowest && most >= self.voltage
    }

    /// What keeps an op-amp from working on it that [does not](Self::feeds), in words.
    #[must_use]
    pub fn misfit(&self, amplifier: &OpampModel) -> String {
        let (least, most) = amplifier.supply_range;
        let name = &amplifier.name;
        if least > self.lowest {
            format!(
                "{name} needs {least} and the supply falls to {}",
                self.lowest
            )
        } else {
            format!(
                "{name} bears {most} and the supply starts at {}",
                self.voltage
            )
        }
    }
}

/// Which resistors may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorRule {
    /// Name of the series (`E24`, `E24+E96`).
    pub series: String,
    /// Tolerance.
    pub tolerance: Ratio,
    /// Least value.
    pub from: Ohms,
    /// Greatest value.
    pub to: Ohms,
    /// Whether a place may be made of two in series or in parallel, where that pays.
    pub pairs: bool,
}

/// Which capacitors may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct CapacitorRule {
    /// Name of the series.
    pub series: String,
    /// Tolerance.
    pub tolerance: Ratio,
    /// Dielectric.
    pub kind: Dielectric,
    /// Least value.
    pub from: Farads,
    /// Greatest value.
    pub to: Farads,
    /// Whether a place may be made of two in parallel, where that pays.
    pub pairs: bool,
    /// Whether capacitors of a stage may differ that are alike for the builder's ease.
    pub unequal: bool,
}

/// Which parts may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct PartRules {
    /// Resistors.
    pub resistors: ResistorRule,
    /// Capacitors.
    pub capacitors: CapacitorRule,
    /// Op-amp types, in order of preference.
    pub opamps: Vec<OpampModel>,
    /// Most resonators in cascade.
    pub most_stages: usize,
    /// The drawer from which parts are taken first, if one is named.
    pub drawer: Option<DrawerRule>,
}

/// The drawer from which parts are taken first.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawerRule {
    /// Its file, as the need names it: beside the need's own.
    pub file: String,
    /// What of it can be used, once somebody has read it.
    pub stock: Option<Stock>,
}

/// Everything the plan starts from.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// What the user calls it.
    pub title: String,
    /// What the ear is to hear.
    pub listening: Listening,
    /// Levels around the box.
    pub levels: Levels,
    /// The supply.
    pub supply: Supply,
    /// Which parts may be used.
    pub parts: PartRules,
    /// Wishes the user left out and the rule that filled each, in words.
    pub assumed: Vec<String>,
}
