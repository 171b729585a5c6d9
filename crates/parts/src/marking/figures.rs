//! Figure codes: two or three significant figures and the number of zeros.
//!
//! Resistors (chips): three figures `472` = 4.7 kΩ, four `4701` = 4.7 kΩ, R for the point
//! `4R7`, `000` a link [IEC-60062, clause 4]. Capacitors, in picofarads: `104` = 100 nF,
//! with 8 and 9 as the last figure for a hundredth and a tenth, a tolerance letter behind
//! (`104K`) [EIA-198, from memory].
//!
//! Capacitors are marked in older ways too (common practice): one or two figures are plain
//! picofarads; a number with a point is microfarads when it is below 1, and could be either
//! above; three figures ending in 0 could be plain picofarads. All readings are given.

use document::Objection;
use units::{Farads, Ohms};

use super::{Marked, ToleranceMark, scaled, split_figures};

/// Reads the figures on a chip resistor (`472`, `4701`, `4R7`, `000`).
///
/// # Errors
/// What is wrong with it.
pub fn read_resistor_code(text: &str) -> Result<Ohms, Objection> {
    let text = text.trim();
    let wrong = || {
        Objection::new(
            format!("the figures \"{text}\""),
            "three or four figures as 472 or 4701, or R for the point as 4R7 or R47",
            "write the figures as they are printed",
        )
    };
    let upper = text.to_ascii_uppercase();
    if let Some((whole, fraction)) = upper.split_once('R') {
        let digits = format!("{whole}{fraction}");
        let figures = figures(&digits)
            .filter(|_| digits.len() <= 5)
            .ok_or_else(wrong)?;
        let places = i32::try_from(fraction.len()).map_err(|_| wrong())?;
        return Ok(Ohms(scaled(figures, -places)));
    }
    let number = figures(text)
        .filter(|_| (3..=4).contains(&text.len()))
        .filter(|number| *number == 0 || !text.starts_with('0'))
        .ok_or_else(wrong)?;
    let zeros = i32::try_from(number % 10).map_err(|_| wrong())?;
    Ok(Ohms(scaled(number / 10, zeros)))
}

/// The figures of a resistance on a chip, `significant` (2 or 3) and the zeros; with R for
/// the point where it has to be. `None` when the value needs more figures.
#[must_use]
pub fn resistor_code(value: Ohms, significant: usize) -> Option<String> {
    assert!(
        (2..=3).contains(&significant),
        "2 or 3 significant figures, not {significant}"
    );
    if value == Ohms(0.0) {
        return Some("0".repeat(significant + 1));
    }
    let (figures, last) = split_figures(value.0, significant)?;
    let digits = format!("{figures}");
    match last {
        0..=9 => Some(format!("{digits}{last}")),
        _ => {
            let places = usize::try_from(-last).ok().filter(|_| last < 0)?;
            match significant.checked_sub(places) {
                Some(whole) => Some(format!("{}R{}", &digits[..whole], &digits[whole..])),
                None if places == significant + 1 => Some(format!("R0{digits}")),
                None => None,
            }
        }
    }
}

/// Every honest reading of the figures on a capacitor, likeliest first.
///
/// # Errors
/// What is wrong with it.
pub fn read_capacitor_code(text: &str) -> Result<Vec<Marked<Farads>>, Objection> {
    let text = text.trim();
    let (body, letter) = match text.chars().last() {
        Some(c) if c.is_ascii_alphabetic() && text.len() > 1 => (&text[..text.len() - 1], Some(c)),
        _ => (text, None),
    };
    let values = capacitor_values(body).filter(|v| !v.is_empty()).ok_or_else(|| {
        Objection::new(
            format!("the figures \"{text}\""),
            "figures as 104, 473K, 47 or 0.01",
            "write the figures as they are printed, with the letter behind them if there is one",
        )
    })?;
    let mark = |value: Farads| {
        let tolerance = match letter {
            Some(letter) => Some(ToleranceMark::of_capacitor(letter, value)?),
            None => None,
        };
        Ok(Marked { value, tolerance })
    };
    values.into_iter().map(mark).collect()
}

/// The values a body without letter may mean.
fn capacitor_values(body: &str) -> Option<Vec<Farads>> {
    if let Some((whole, fraction)) = body.split_once('.') {
        let digits = format!("{whole}{fraction}");
        let number = figures(&digits).filter(|n| *n > 0 && digits.len() <= 7)?;
        let places = i32::try_from(fraction.len()).ok()?;
        let micro = Farads(scaled(number, -places - 6));
        let pico = Farads(scaled(number, -places - 12));
        return Some(if micro.0 < 1e-6 {
            vec![micro]
        } else {
            vec![pico, micro]
        });
    }
    let number = figures(body).filter(|n| *n > 0)?;
    let plain = Farads(scaled(number, -12));
    if body.len() != 3 || number < 100 {
        return (body.len() <= 4).then(|| vec![plain]);
    }
    let power = match number % 10 {
        8 => -2,
        9 => -1,
        zeros => i32::try_from(zeros).ok()?,
    };
    let coded = Farads(scaled(number / 10, power - 12));
    Some(match number % 10 {
        0 => vec![coded, plain],
        _ => vec![coded],
    })
}

/// The three figures of a capacitance (`104`), with 8 and 9 for hundredths and tenths.
/// `None` when it needs more figures or does not fit.
#[must_use]
pub fn capacitor_code(value: Farads) -> Option<String> {
    let (figures, last) = split_figures(value.0, 2)?;
    let power = match last + 12 {
        -2 => 8,
        -1 => 9,
        zeros @ 0..=7 => zeros,
        _ => return None,
    };
    Some(format!("{figures}{power}"))
}

/// A number of ASCII digits only.
fn figures(text: &str) -> Option<u32> {
    let digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| digits)
}
