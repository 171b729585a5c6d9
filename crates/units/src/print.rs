//! Prints one quantity: for people, for schematics, and exactly.

use std::fmt;

use crate::Prefix;
use crate::spelling::Spelling;

/// Significant digits where none are asked for: one more than the finest preferred
/// value has.
const DIGITS: usize = 4;

/// A magnitude written as digits with the point after the first: `d.ddd · 10^exponent`.
struct Scientific {
    digits: String,
    exponent: i32,
}

impl Scientific {
    /// Rust's `{:e}` printing: the shortest digits that read back, or `precision`
    /// correctly rounded ones, with trailing zeros dropped.
    fn of(magnitude: f64, precision: Option<usize>) -> Self {
        let text = match precision {
            Some(digits) => format!("{:.*e}", digits.clamp(1, 17) - 1, magnitude),
            None => format!("{magnitude:e}"),
        };
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
        let kept = digits.trim_end_matches('0');
        Scientific {
            digits: if kept.is_empty() { "0" } else { kept }.to_owned(),
            exponent: exponent.parse().unwrap_or(0),
        }
    }

    /// The same digits in plain decimal writing, shifted down by a power of ten.
    fn plain(&self, shift: i32) -> String {
        let (whole, fraction) = self.split(shift);
        match fraction.as_str() {
            "" => whole,
            _ => format!("{whole}.{fraction}"),
        }
    }

    /// Digits before and after the point once shifted down by a power of ten.
    fn split(&self, shift: i32) -> (String, String) {
        let point = self.exponent - shift + 1;
        let Ok(point) = usize::try_from(point) else {
            let zeros = "0".repeat(point.unsigned_abs() as usize);
            return ("0".to_owned(), zeros + &self.digits);
        };
        if point >= self.digits.len() {
            let zeros = "0".repeat(point - self.digits.len());
            return (self.digits.clone() + &zeros, String::new());
        }
        let (whole, fraction) = self.digits.split_at(point);
        let whole = if whole.is_empty() { "0" } else { whole };
        (whole.to_owned(), fraction.to_owned())
    }

    /// The prefix that leaves one to three digits before the point, as far as the
    /// quantity has one.
    fn prefix(&self, spelling: &Spelling) -> Prefix {
        let exponent = self.exponent - spelling.exponent;
        Prefix::ALL
            .into_iter()
            .filter(|p| *p == Prefix::One || spelling.prefixes.contains(p))
            .rfind(|p| p.exponent() <= exponent)
            .or_else(|| spelling.prefixes.iter().min().copied())
            .filter(|p| *p <= Prefix::One || p.exponent() <= exponent)
            .unwrap_or(Prefix::One)
    }
}

/// Engineering notation with the unit (`4.7 kΩ`), following the formatter's precision
/// (significant digits), `+` flag, width and alignment.
pub(crate) fn display(si: f64, spelling: &Spelling, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let digits = f.precision().unwrap_or(DIGITS);
    let text = signed(si, f.sign_plus(), |m| {
        engineering(m, Some(digits), spelling)
    });
    match (f.width(), f.align()) {
        (Some(width), Some(fmt::Alignment::Right)) => write!(f, "{text:>width$}"),
        (Some(width), Some(fmt::Alignment::Center)) => write!(f, "{text:^width$}"),
        (Some(width), _) => write!(f, "{text:<width$}"),
        (None, _) => f.write_str(&text),
    }
}

/// All digits, engineering notation.
pub(crate) fn exact(si: f64, spelling: &Spelling) -> String {
    signed(si, false, |m| engineering(m, None, spelling))
}

/// The letter-for-point form where it is custom, otherwise as for people.
pub(crate) fn short(si: f64, spelling: &Spelling) -> String {
    let with_letter = spelling.letter_point && spelling.point_letter.is_some();
    if !with_letter || spelling.signed || !si.is_finite() || si == 0.0 {
        return signed(si, false, |m| engineering(m, Some(DIGITS), spelling));
    }
    signed(si, false, |m| lettered(m, spelling))
}

fn signed(si: f64, plus: bool, magnitude: impl Fn(f64) -> String) -> String {
    let sign = match () {
        () if si < 0.0 => "-",
        () if plus && si > 0.0 => "+",
        () => "",
    };
    format!("{sign}{}", magnitude(si.abs()))
}

fn engineering(magnitude: f64, digits: Option<usize>, spelling: &Spelling) -> String {
    let symbol = spelling.symbol;
    if magnitude.is_nan() {
        return format!("not a number {symbol}");
    }
    if magnitude.is_infinite() {
        return format!("∞ {symbol}");
    }
    if magnitude == 0.0 {
        return format!("0 {symbol}");
    }
    let number = Scientific::of(magnitude, digits);
    let prefix = number.prefix(spelling);
    let shift = prefix.exponent() + spelling.exponent;
    let distance = number.exponent - shift;
    let figure = match distance {
        -4..=9 => number.plain(shift),
        _ => format!("{}e{distance}", number.plain(number.exponent)),
    };
    format!("{figure} {}{symbol}", prefix.symbol())
}

/// `4k7`, `100n`, `R47`: the prefix letter, or the unit's own, as the decimal point.
fn lettered(magnitude: f64, spelling: &Spelling) -> String {
    let number = Scientific::of(magnitude, Some(DIGITS));
    let prefix = number.prefix(spelling);
    let (whole, fraction) = number.split(prefix.exponent());
    let base = spelling.point_letter.unwrap_or('R').to_string();
    let letter = match prefix {
        Prefix::One => base.as_str(),
        _ => prefix.symbol(),
    };
    let whole = if whole == "0" && !fraction.is_empty() {
        ""
    } else {
        whole.as_str()
    };
    format!("{whole}{letter}{fraction}")
}
