//! The letter-and-digit code: the multiplier's letter stands for the decimal point
//! [IEC-60062, clause 4].
//!
//! Resistors: L 10⁻³, R 1, K 10³, M 10⁶, G 10⁹ (`R47`, `4R7`, `470R`, `4K7`, `47K3`).
//! Capacitors: p 10⁻¹², n 10⁻⁹, µ 10⁻⁶, m 10⁻³ (`p33`, `4n7`, `1µ0`, `2m2`). A tolerance
//! letter may follow (`4K7J`). `10pF` is taken for a unit, not for 1 %: an F straight
//! after the prefix is a farad, after digits a tolerance.
//!
//! Source: the resistor examples and `10p`, `4n7`, `1µ0` read in the public article on the
//! code; the rest from memory.

use document::Objection;
use units::{Farads, Ohms, Quantity};

use super::{Marked, ToleranceMark, scaled, split_figures};

/// Letter of the code with its power of ten.
type Letters = &'static [(char, i32)];

const RESISTOR: Letters = &[('L', -3), ('R', 0), ('K', 3), ('M', 6), ('G', 9)];
const CAPACITOR: Letters = &[('p', -12), ('n', -9), ('µ', -6), ('m', -3)];

/// Most figures that are printed on a part.
const MOST_FIGURES: usize = 4;

/// A code taken apart.
struct Split<'t> {
    whole: &'t str,
    letter: char,
    fraction: &'t str,
    tail: &'t str,
}

/// Takes `4K7J` apart; `None` unless it is digits around one letter and a tail of at most
/// one letter.
fn split(text: &str) -> Option<Split<'_>> {
    let letter_at = text.find(|c: char| !c.is_ascii_digit())?;
    let letter = text[letter_at..].chars().next()?;
    let after = &text[letter_at + letter.len_utf8()..];
    let tail_at = after
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(after.len());
    let (fraction, tail) = after.split_at(tail_at);
    let whole = &text[..letter_at];
    let has_digits = !whole.is_empty() || !fraction.is_empty();
    let reasonable = whole.len() + fraction.len() <= 8 && tail.chars().count() <= 1;
    (has_digits && reasonable).then_some(Split {
        whole,
        letter,
        fraction,
        tail,
    })
}

/// The value of the digits with the letter's power of ten.
fn value(split: &Split<'_>, power: i32) -> Option<f64> {
    let digits = format!("{}{}", split.whole, split.fraction);
    let figures: u32 = digits.parse().ok()?;
    Some(scaled(
        figures,
        power - i32::try_from(split.fraction.len()).ok()?,
    ))
}

/// Reads a resistor's code (`4K7`, `47K3J`, `R47`).
///
/// # Errors
/// What is wrong with it.
pub fn read_rkm_resistor(text: &str) -> Result<Marked<Ohms>, Objection> {
    let text = text.trim();
    let found = || {
        Objection::new(
            format!("the resistor code \"{text}\""),
            "digits with L, R, K, M or G for the decimal point, as R47, 4R7, 470R, 4K7 or 2M2, \
             and a tolerance letter behind",
            "write the code as it is printed",
        )
    };
    let parts = split(text).ok_or_else(found)?;
    if parts.letter == 'm' {
        let code = text.replacen('m', "M", 1);
        let mut objection = found();
        objection.advice = format!("write {code} if mega is meant; milli is L in this code");
        return Err(objection);
    }
    let letter = parts.letter.to_ascii_uppercase();
    let power = RESISTOR.iter().find(|l| l.0 == letter).ok_or_else(found)?.1;
    let value = value(&parts, power).ok_or_else(found)?;
    let tolerance = match parts.tail.chars().next() {
        Some(letter) => Some(ToleranceMark::of_resistor(letter)?),
        None => None,
    };
    Ok(Marked {
        value: Ohms(value),
        tolerance,
    })
}

/// Reads a capacitor's code (`4n7`, `p33`, `100nK`).
///
/// # Errors
/// What is wrong with it.
pub fn read_rkm_capacitor(text: &str) -> Result<Marked<Farads>, Objection> {
    let text = text.trim();
    let found = || {
        Objection::new(
            format!("the capacitor code \"{text}\""),
            "digits with p, n, µ or m for the decimal point, as p33, 10p, 4n7 or 1µ0, and a \
             tolerance letter behind",
            "write the code as it is printed",
        )
    };
    let parts = split(text).ok_or_else(found)?;
    let letter = match parts.letter {
        'u' | 'U' | 'μ' => 'µ',
        'P' => 'p',
        'N' => 'n',
        other => other,
    };
    let power = CAPACITOR
        .iter()
        .find(|l| l.0 == letter)
        .ok_or_else(found)?
        .1;
    let value = Farads(value(&parts, power).ok_or_else(found)?);
    let unit = parts.tail == "F" && parts.fraction.is_empty();
    let tolerance = match parts.tail.chars().next() {
        Some(letter) if !unit => Some(ToleranceMark::of_capacitor(letter, value)?),
        _ => None,
    };
    Ok(Marked { value, tolerance })
}

/// The code of a resistance, two figures at least (`1K0`); `None` when it needs more than
/// four figures or lies beyond the letters.
#[must_use]
pub fn rkm_resistor(value: Ohms) -> Option<String> {
    code(value.si(), RESISTOR)
}

/// The code of a capacitance, two figures at least (`1n0`); `None` when it needs more
/// than four figures or lies beyond the letters.
#[must_use]
pub fn rkm_capacitor(value: Farads) -> Option<String> {
    code(value.si(), CAPACITOR)
}

fn code(si: f64, letters: Letters) -> Option<String> {
    let (figures, last) = split_figures(si, MOST_FIGURES)?;
    let digits = format!("{figures}");
    let kept = digits.trim_end_matches('0');
    // Two figures at least, so that 1K0 is not mistaken for a part number.
    let kept = &digits[..kept.len().max(2)];
    let first = last + MOST_FIGURES as i32 - 1;
    // Below the unit, R10 and p33 are custom; a tenth of a milliohm would be absurd.
    let letter = letters.iter().rev().find(|l| l.1 <= first);
    let below = |l: &&(char, i32)| l.1 - 1 == first;
    let unit = letters.iter().find(|l| l.0 == 'R' || l.0 == 'p');
    let (letter, power) = unit.filter(below).or(letter)?;
    let whole = usize::try_from(first - power + 1).ok()?;
    if whole > 3 {
        return None;
    }
    let padded = format!("{kept:0<whole$}");
    let (whole, fraction) = padded.split_at(whole);
    Some(format!("{whole}{letter}{fraction}"))
}
