//! Tolerance letters [IEC-60062, clause 5; EIA-198].
//!
//! F and K read on a public page of the code, the others from memory of the standard. On
//! capacitors below 10 pF the letters B, C, D, F and G mean picofarads instead of per
//! cent, and Q, S, T and Z are lopsided.

use std::fmt;

use document::Objection;
use units::{Farads, Quantity, Ratio};

/// What a tolerance letter says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToleranceMark {
    /// So much either way, in proportion.
    Within(Ratio),
    /// So much down and so much up, in proportion (both positive).
    Between {
        /// Furthest below.
        minus: Ratio,
        /// Furthest above.
        plus: Ratio,
    },
    /// So much either way, whatever the value.
    Absolute(Farads),
}

/// Letters with the tolerance either way in per cent.
const EITHER_WAY: [(char, f64); 14] = [
    ('E', 0.005),
    ('L', 0.01),
    ('P', 0.02),
    ('W', 0.05),
    ('B', 0.1),
    ('C', 0.25),
    ('D', 0.5),
    ('F', 1.0),
    ('G', 2.0),
    ('H', 3.0),
    ('J', 5.0),
    ('K', 10.0),
    ('M', 20.0),
    ('N', 30.0),
];

/// Letters of capacitors with per cent down and up.
const LOPSIDED: [(char, f64, f64); 4] = [
    ('Q', 10.0, 30.0),
    ('S', 20.0, 50.0),
    ('T', 10.0, 50.0),
    ('Z', 20.0, 80.0),
];

/// Letters of capacitors below 10 pF with picofarads either way.
const PICOFARADS: [(char, f64); 5] = [('B', 0.1), ('C', 0.25), ('D', 0.5), ('F', 1.0), ('G', 2.0)];

/// Below this a capacitor's letter means picofarads.
const SMALL: Farads = Farads(10e-12);

impl ToleranceMark {
    /// What a letter means on a resistor.
    ///
    /// # Errors
    /// When it is none of the code.
    pub fn of_resistor(letter: char) -> Result<ToleranceMark, Objection> {
        let letter = letter.to_ascii_uppercase();
        either_way(letter).ok_or_else(|| unknown(letter, false))
    }

    /// What a letter means on a capacitor of that value.
    ///
    /// # Errors
    /// When it is none of the code.
    pub fn of_capacitor(letter: char, value: Farads) -> Result<ToleranceMark, Objection> {
        let letter = letter.to_ascii_uppercase();
        let small = PICOFARADS
            .iter()
            .find(|p| p.0 == letter && value < SMALL)
            .map(|p| ToleranceMark::Absolute(Farads(p.1 / 1e12)));
        let lopsided = LOPSIDED.iter().find(|l| l.0 == letter);
        let lopsided = lopsided.map(|l| ToleranceMark::Between {
            minus: Ratio(l.1 / 100.0),
            plus: Ratio(l.2 / 100.0),
        });
        small
            .or(lopsided)
            .or_else(|| either_way(letter))
            .ok_or_else(|| unknown(letter, true))
    }

    /// The letter of this tolerance, if it has one.
    #[must_use]
    pub fn letter(self) -> Option<char> {
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b;
        match self {
            ToleranceMark::Within(ratio) => EITHER_WAY
                .iter()
                .find(|e| near(ratio.0 * 100.0, e.1))
                .map(|e| e.0),
            ToleranceMark::Between { minus, plus } => LOPSIDED
                .iter()
                .find(|l| near(minus.0 * 100.0, l.1) && near(plus.0 * 100.0, l.2))
                .map(|l| l.0),
            ToleranceMark::Absolute(farads) => PICOFARADS
                .iter()
                .find(|p| near(farads.0 * 1e12, p.1))
                .map(|p| p.0),
        }
    }
}

impl fmt::Display for ToleranceMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ToleranceMark::Within(ratio) => write!(f, "±{ratio}"),
            ToleranceMark::Between { minus, plus } => write!(f, "−{minus} +{plus}"),
            ToleranceMark::Absolute(farads) => write!(f, "±{}", farads.exact()),
        }
    }
}

fn either_way(letter: char) -> Option<ToleranceMark> {
    let found = EITHER_WAY.iter().find(|e| e.0 == letter)?;
    Some(ToleranceMark::Within(Ratio(found.1 / 100.0)))
}

fn unknown(letter: char, capacitor: bool) -> Objection {
    let mut letters: Vec<String> = EITHER_WAY.iter().map(|e| e.0.to_string()).collect();
    if capacitor {
        letters.extend(LOPSIDED.iter().map(|l| l.0.to_string()));
    }
    Objection::new(
        format!("the tolerance letter {letter}"),
        letters.join(", "),
        "look again, or leave the letter out",
    )
}
