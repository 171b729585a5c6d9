//! Figures with their units, rounded to what a builder can use.

use units::{Hertz, Quantity, Seconds};

/// What stands where a figure does not exist.
const NONE: &str = "–";

/// A frequency: whole hertz below 1 kHz, three figures above.
pub(super) fn hertz(value: f64) -> String {
    if value.abs() < 1000.0 {
        format!("{value:.0} Hz")
    } else {
        Hertz(three_figures(value)).to_string()
    }
}

/// A frequency, or a dash where the response never gets there.
pub(super) fn hertz_or_dash(value: Option<f64>) -> String {
    value.map_or(NONE.to_owned(), hertz)
}

/// A time to three figures, or a dash where there is none.
pub(super) fn milliseconds(value: Option<f64>) -> String {
    value.map_or(NONE.to_owned(), |v| Seconds(three_figures(v)).to_string())
}

/// A number with so many decimals, or a dash where there is none.
pub(super) fn plain(value: Option<f64>, decimals: usize) -> String {
    value.map_or(NONE.to_owned(), |v| format!("{v:.decimals$}"))
}

/// Any quantity to three figures.
pub(super) fn about<Q: Quantity + std::fmt::Display>(value: f64) -> String {
    Q::new(three_figures(value)).to_string()
}

/// Rounds to three significant figures.
fn three_figures(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let digits = 2 - value.abs().log10().floor() as i32;
    let shifted = format!("{:.*}", digits.max(0) as usize, value);
    if digits >= 0 {
        shifted.parse().unwrap_or(value)
    } else {
        let step = 10f64.powi(-digits);
        (value / step).round() * step
    }
}

/// Words broken into lines of at most `columns` characters.
pub(super) fn wrapped(words: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in words.split_whitespace() {
        let last = lines.len() - 1;
        if !lines[last].is_empty()
            && lines[last].chars().count() + 1 + word.chars().count() > columns
        {
            lines.push(word.to_owned());
        } else {
            if !lines[last].is_empty() {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
        }
    }
    lines
}
