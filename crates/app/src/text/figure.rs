//! Figures with their units, rounded to what a builder can use.

use units::{Hertz, Quantity, Seconds};

/// Columns that everything printed fits in, where no single word is longer: a plain terminal.
pub(super) const COLUMNS: usize = 80;

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

/// A label and what it says, broken into lines that fit; what follows the first line is
/// indented as far as the label reaches.
pub(super) fn paragraph(label: &str, words: &str) -> String {
    lines(label, words.split_whitespace(), " ")
}

/// As [`paragraph`], for pieces that are kept whole and parted by a dot.
pub(super) fn pieces(label: &str, pieces: &[String]) -> String {
    lines(label, pieces.iter().map(String::as_str), " · ")
}

fn lines<'a>(label: &str, pieces: impl Iterator<Item = &'a str>, between: &str) -> String {
    let indent = label.chars().count();
    let mut out = label.to_owned();
    let mut used = indent;
    for piece in pieces {
        let length = piece.chars().count();
        let gap = if used > indent { between } else { "" };
        if used > indent && used + gap.chars().count() + length > COLUMNS {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            out.push_str(piece);
            used = indent + length;
        } else {
            out.push_str(gap);
            out.push_str(piece);
            used += gap.chars().count() + length;
        }
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    //! Order of trust: invariants.
    use super::*;

    #[test]
    fn paragraphs_fit_and_lose_no_word() {
        let words = "a mid-supply node of 244.6 Ω – ".repeat(12);
        let said = paragraph("  do   ", &words);
        assert!(said.lines().all(|l| l.chars().count() <= COLUMNS), "{said}");
        assert!(said.lines().skip(1).all(|l| l.starts_with("       ")));
        let back: Vec<&str> = said.split_whitespace().skip(1).collect();
        assert_eq!(back, words.split_whitespace().collect::<Vec<_>>());
    }

    #[test]
    fn a_piece_stays_whole_though_it_has_spaces() {
        let each: Vec<String> = (0..9).map(|k| format!("{k}50 Hz 30 dB down")).collect();
        let said = pieces("  wanted  ", &each);
        assert!(said.lines().all(|l| l.chars().count() <= COLUMNS), "{said}");
        for piece in &each {
            assert!(said.lines().any(|l| l.contains(piece.as_str())), "{said}");
        }
    }

    #[test]
    fn three_figures_are_kept() {
        for (value, kept) in [
            (0.0, "0"),
            (12.345, "12.3"),
            (-0.012_345, "-0.0123"),
            (98_765.0, "98800"),
        ] {
            assert_eq!(three_figures(value).to_string(), kept);
        }
    }
}
