//! One newtype for every quantity that a user sees: an `f64` in its SI unit.

use std::fmt;
use std::str::FromStr;

use crate::spelling::{self, Spelling};
use crate::{Misread, print, read};

/// A quantity that people write: read from text, printed for people, for schematics,
/// and exactly.
pub trait Quantity: Copy + PartialEq + PartialOrd + fmt::Debug + fmt::Display {
    /// How it is written.
    const SPELLING: Spelling;
    /// What it is called, with its article (`a resistance`).
    const NAME: &'static str = Self::SPELLING.name;
    /// The symbol it is printed with (`Ω`).
    const SYMBOL: &'static str = Self::SPELLING.symbol;

    /// From the number in SI units.
    fn new(si: f64) -> Self;

    /// The number in SI units.
    fn si(self) -> f64;

    /// Reads what a person wrote (`4k7`, `0.1 µF`, `+350 Hz`).
    ///
    /// # Errors
    /// A [`Misread`] that points at the fault, names what is allowed and what to write.
    fn parse(text: &str) -> Result<Self, Misread> {
        read::read(text, &Self::SPELLING).map(Self::new)
    }

    /// For schematics: the prefix letter in place of the decimal point where that is
    /// custom (`4k7`, `100n`, `R47`), otherwise as [`fmt::Display`]. Four significant
    /// digits at most.
    fn short(self) -> String {
        print::short(self.si(), &Self::SPELLING)
    }

    /// All digits: reads back to the same bits when finite and within the range of
    /// [`Spelling::least`] to [`Spelling::most`] (or zero).
    fn exact(self) -> String {
        print::exact(self.si(), &Self::SPELLING)
    }
}

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident = $spelling:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl Quantity for $name {
            const SPELLING: Spelling = spelling::$spelling;

            fn new(si: f64) -> Self {
                $name(si)
            }

            fn si(self) -> f64 {
                self.0
            }
        }

        /// Engineering notation for people. A precision sets the most significant
        /// digits (`{:.3}`; four without it), `+` shows the sign of positive values.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                print::display(self.0, &spelling::$spelling, f)
            }
        }

        impl FromStr for $name {
            type Err = Misread;

            fn from_str(text: &str) -> Result<Self, Misread> {
                Self::parse(text)
            }
        }
    )*};
}

quantity! {
    /// Resistance or impedance magnitude, ohm.
    Ohms = RESISTANCE;
    /// Capacitance, farad.
    Farads = CAPACITANCE;
    /// Inductance, henry.
    Henries = INDUCTANCE;
    /// Frequency, hertz; an offset carries a sign.
    Hertz = FREQUENCY;
    /// Electromotive force, volt.
    Volts = VOLTAGE;
    /// Current, ampere.
    Amperes = CURRENT;
    /// Battery capacity, ampere hour.
    AmpereHours = CHARGE;
    /// Time, second.
    Seconds = TIME;
    /// Twenty times the logarithm of an amplitude ratio.
    Decibels = LEVEL;
    /// Sound pressure level of a phone driven with one milliwatt, dB SPL.
    DecibelsPerMilliwatt = SENSITIVITY;
    /// Morse speed, PARIS words per minute: one dit lasts 1.2 s divided by it.
    Wpm = SPEED;
    /// A plain ratio; `0.05` is written `5 %`.
    Ratio = RATIO;
    /// Slew rate, V/s; written `13 V/µs`.
    VoltsPerSecond = SLEW;
    /// Voltage noise density, V/√Hz.
    VoltsPerRootHertz = VOLTAGE_NOISE;
    /// Current noise density, A/√Hz.
    AmperesPerRootHertz = CURRENT_NOISE;
}
