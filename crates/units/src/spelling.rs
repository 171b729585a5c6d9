//! How one quantity is written: its unit words, prefixes, and what a bare number means.

use crate::Prefix;

/// What a number without a unit symbol is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bare {
    /// The SI unit is meant (`4700`, `4.7k`).
    Taken,
    /// A prefix letter is enough, a bare number is not (`100n`, but not `100`).
    NeedsPrefix,
    /// The unit must be written (`12 ms`, `5 %`).
    NeedsUnit,
}

/// The table one quantity is read and printed by.
#[derive(Debug, Clone, Copy)]
pub struct Spelling {
    /// What it is called with its article (`a resistance`).
    pub name: &'static str,
    /// Symbol it is printed with (`Ω`).
    pub symbol: &'static str,
    /// Power of ten of the printed symbol against the SI unit (−2 for `%`).
    pub exponent: i32,
    /// Unit words in lower case with their power of ten against the SI unit.
    pub words: &'static [(&'static str, i32)],
    /// Prefixes that may stand before the unit.
    pub prefixes: &'static [Prefix],
    /// Prefixes to offer when a number came without its unit.
    pub usual: &'static [Prefix],
    /// Whether a prefix letter may stand in the place of the decimal point (`4k7`).
    pub letter_point: bool,
    /// Letter that stands there when there is no prefix (`4R7`).
    pub point_letter: Option<char>,
    /// What a bare number means.
    pub bare: Bare,
    /// Whether it may be negative.
    pub signed: bool,
    /// Least magnitude besides zero, SI.
    pub least: f64,
    /// Greatest magnitude, SI.
    pub most: f64,
    /// Examples for advice.
    pub examples: &'static str,
}

use Prefix::{Femto, Giga, Kilo, Mega, Micro, Milli, Nano, Pico, Tera};

impl Spelling {
    /// What to tell a user that may stand here.
    #[must_use]
    pub fn allowed(&self) -> String {
        format!("{} such as {}", self.name, self.examples)
    }

    /// The first of the examples.
    #[must_use]
    pub fn example(&self) -> &'static str {
        let end = self.examples.find(", ").or(self.examples.find(" or "));
        &self.examples[..end.unwrap_or(self.examples.len())]
    }

    /// Power of ten of a unit word, if it is one of this quantity's.
    #[must_use]
    pub fn unit(&self, lower: &str) -> Option<i32> {
        self.words.iter().find(|(w, _)| *w == lower).map(|w| w.1)
    }

    /// Splits a suffix into a prefix, the bytes to point at when it is not permitted,
    /// and, if there is one, a unit word's power of ten.
    pub(crate) fn split(&self, suffix: &str) -> Option<(Prefix, usize, Option<i32>)> {
        if self.prefixes.is_empty() {
            return None;
        }
        let lower = suffix.to_lowercase();
        if let Some((prefix, exponent)) = Prefix::of_word(&lower, |word| self.unit(word)) {
            return Some((prefix, suffix.len(), Some(exponent)));
        }
        let letter = suffix.chars().next()?;
        let prefix = Prefix::of_letter(letter)?;
        let unit = suffix[letter.len_utf8()..].trim_start();
        if unit.is_empty() {
            return Some((prefix, letter.len_utf8(), None));
        }
        let exponent = self.unit(&unit.to_lowercase())?;
        Some((prefix, letter.len_utf8(), Some(exponent)))
    }

    /// Whether a suffix is a unit of this quantity, with or without a prefix.
    pub(crate) fn names(&self, suffix: &str) -> bool {
        let prefixed = |(prefix, _, unit): (Prefix, usize, Option<i32>)| {
            unit.is_some() && self.prefixes.contains(&prefix)
        };
        self.unit(&suffix.to_lowercase()).is_some() || self.split(suffix).is_some_and(prefixed)
    }
}

const PLAIN: Spelling = Spelling {
    name: "",
    symbol: "",
    exponent: 0,
    words: &[],
    prefixes: &[],
    usual: &[Prefix::One],
    letter_point: false,
    point_letter: None,
    bare: Bare::NeedsUnit,
    signed: false,
    least: 0.0,
    most: f64::MAX,
    examples: "",
};

pub(crate) const RESISTANCE: Spelling = Spelling {
    name: "a resistance",
    symbol: "Ω",
    // "Ω" U+03A9 and the ohm sign U+2126 both become "ω" in lower case.
    words: &[("ω", 0), ("ohm", 0), ("ohms", 0), ("r", 0)],
    prefixes: &[Kilo, Mega, Giga, Tera],
    letter_point: true,
    point_letter: Some('R'),
    bare: Bare::Taken,
    least: 1e-3,
    most: 1e15,
    examples: "4k7, 4.7 kΩ, 470R, 4700 or 2M2",
    ..PLAIN
};

pub(crate) const CAPACITANCE: Spelling = Spelling {
    name: "a capacitance",
    symbol: "F",
    words: &[("f", 0), ("farad", 0), ("farads", 0)],
    prefixes: &[Pico, Nano, Micro, Milli],
    usual: &[Pico, Nano, Micro],
    letter_point: true,
    point_letter: Some('F'),
    bare: Bare::NeedsPrefix,
    least: 1e-15,
    most: 1.0,
    examples: "100n, 4n7, 0.1 µF, 0.1u or 220 pF",
    ..PLAIN
};

pub(crate) const INDUCTANCE: Spelling = Spelling {
    name: "an inductance",
    symbol: "H",
    words: &[("h", 0), ("henry", 0), ("henries", 0), ("henrys", 0)],
    prefixes: &[Nano, Micro, Milli],
    usual: &[Micro, Milli],
    letter_point: true,
    point_letter: Some('H'),
    bare: Bare::NeedsPrefix,
    least: 1e-10,
    most: 1e4,
    examples: "10m, 88 mH, 4m7, 100 µH or 1 H",
    ..PLAIN
};

pub(crate) const FREQUENCY: Spelling = Spelling {
    name: "a frequency",
    symbol: "Hz",
    words: &[("hz", 0), ("hertz", 0)],
    prefixes: &[Kilo, Mega, Giga],
    letter_point: true,
    bare: Bare::Taken,
    signed: true,
    least: 1e-6,
    most: 1e12,
    examples: "650 Hz, 1.2 kHz, 1k2 or +350 Hz",
    ..PLAIN
};

pub(crate) const VOLTAGE: Spelling = Spelling {
    name: "a voltage",
    symbol: "V",
    words: &[("v", 0), ("volt", 0), ("volts", 0)],
    prefixes: &[Nano, Micro, Milli, Kilo],
    letter_point: true,
    point_letter: Some('V'),
    bare: Bare::Taken,
    signed: true,
    least: 1e-12,
    most: 1e5,
    examples: "9 V, 120 mV, 3V3 or 1.5",
    ..PLAIN
};

pub(crate) const CURRENT: Spelling = Spelling {
    name: "a current",
    symbol: "A",
    words: &[
        ("a", 0),
        ("amp", 0),
        ("amps", 0),
        ("ampere", 0),
        ("amperes", 0),
    ],
    prefixes: &[Femto, Pico, Nano, Micro, Milli],
    usual: &[Micro, Milli],
    letter_point: true,
    point_letter: Some('A'),
    bare: Bare::NeedsPrefix,
    signed: true,
    least: 1e-18,
    most: 1e3,
    examples: "12 mA, 65 pA, 100n or 1.5 A",
    ..PLAIN
};

pub(crate) const CHARGE: Spelling = Spelling {
    name: "a battery capacity",
    symbol: "Ah",
    words: &[("ah", 0)],
    prefixes: &[Milli],
    usual: &[Milli, Prefix::One],
    least: 1e-4,
    most: 1e4,
    examples: "500 mAh or 1.2 Ah",
    ..PLAIN
};

pub(crate) const TIME: Spelling = Spelling {
    name: "a time",
    symbol: "s",
    words: &[("s", 0), ("sec", 0), ("second", 0), ("seconds", 0)],
    prefixes: &[Pico, Nano, Micro, Milli],
    usual: &[Milli, Prefix::One],
    least: 1e-15,
    most: 1e6,
    examples: "12 ms, 0.5 s or 20 µs",
    ..PLAIN
};

pub(crate) const LEVEL: Spelling = Spelling {
    name: "a level in decibels",
    symbol: "dB",
    words: &[("db", 0), ("decibel", 0), ("decibels", 0)],
    bare: Bare::Taken,
    signed: true,
    most: 1e4,
    examples: "30 dB, -6 dB or 0",
    ..PLAIN
};

pub(crate) const SENSITIVITY: Spelling = Spelling {
    name: "a phone sensitivity",
    symbol: "dB/mW",
    words: &[
        ("db/mw", 0),
        ("dbspl/mw", 0),
        ("db spl/mw", 0),
        ("db (spl)/mw", 0),
    ],
    least: 1.0,
    most: 200.0,
    examples: "100 dB/mW or 96 dB SPL/mW",
    ..PLAIN
};

pub(crate) const SPEED: Spelling = Spelling {
    name: "a Morse speed",
    symbol: "wpm",
    words: &[("wpm", 0), ("words per minute", 0), ("words/min", 0)],
    bare: Bare::Taken,
    least: 0.1,
    most: 1000.0,
    examples: "22 wpm or 22",
    ..PLAIN
};

pub(crate) const RATIO: Spelling = Spelling {
    name: "a percentage",
    symbol: "%",
    exponent: -2,
    words: &[("%", -2), ("percent", -2), ("per cent", -2), ("ppm", -6)],
    least: 1e-9,
    most: 1e4,
    examples: "5 %, 0.5 % or 50 ppm",
    ..PLAIN
};

pub(crate) const SLEW: Spelling = Spelling {
    name: "a slew rate",
    symbol: "V/µs",
    exponent: 6,
    words: &[
        ("v/s", 0),
        ("v/ms", 3),
        ("v/us", 6),
        ("v/µs", 6),
        ("v/μs", 6),
    ],
    least: 1.0,
    most: 1e12,
    examples: "13 V/µs or 0.5 V/us",
    ..PLAIN
};

pub(crate) const VOLTAGE_NOISE: Spelling = Spelling {
    name: "a voltage noise density",
    symbol: "V/√Hz",
    words: &[
        ("v/√hz", 0),
        ("v/rthz", 0),
        ("v/sqrt(hz)", 0),
        ("v/sqrthz", 0),
    ],
    prefixes: &[Pico, Nano, Micro, Milli],
    usual: &[Nano],
    least: 1e-15,
    most: 1.0,
    examples: "18 nV/√Hz or 18 nV/rtHz",
    ..PLAIN
};

pub(crate) const CURRENT_NOISE: Spelling = Spelling {
    name: "a current noise density",
    symbol: "A/√Hz",
    words: &[
        ("a/√hz", 0),
        ("a/rthz", 0),
        ("a/sqrt(hz)", 0),
        ("a/sqrthz", 0),
    ],
    prefixes: &[Femto, Pico, Nano, Micro],
    usual: &[Femto, Pico],
    least: 1e-18,
    most: 1.0,
    examples: "10 fA/√Hz or 0.7 pA/rtHz",
    ..PLAIN
};

/// Every quantity, for naming what was written instead of what was asked for.
pub(crate) const ALL: [&Spelling; 15] = [
    &RESISTANCE,
    &CAPACITANCE,
    &INDUCTANCE,
    &FREQUENCY,
    &VOLTAGE,
    &CURRENT,
    &CHARGE,
    &TIME,
    &LEVEL,
    &SENSITIVITY,
    &SPEED,
    &RATIO,
    &SLEW,
    &VOLTAGE_NOISE,
    &CURRENT_NOISE,
];
