//! A decimal number as it stands in a text: digits and a power of ten, never rounded
//! until the very end.
//!
//! Shifting the power of ten by a prefix before the one conversion to `f64` keeps the
//! reading correctly rounded: `4.7k` gives exactly the double nearest to 4700.

use std::ops::Range;

/// Digits with a sign and a power of ten: `± digits · 10^exponent`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Decimal {
    /// `-` was written.
    pub(crate) negative: bool,
    /// At least one ASCII digit.
    pub(crate) digits: String,
    /// Power of ten of the last digit.
    pub(crate) exponent: i64,
}

impl Decimal {
    /// The nearest double to the number times `10^shift`.
    pub(crate) fn value(&self, shift: i32) -> f64 {
        let exponent = self.exponent.saturating_add(i64::from(shift));
        let text = format!("{}e{}", self.digits, exponent);
        // Digits, "e" and an integer are always a number in Rust's grammar.
        let magnitude = text.parse::<f64>().unwrap_or(f64::NAN);
        if self.negative { -magnitude } else { magnitude }
    }
}

/// What is wrong with a run of digits and marks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Fault {
    /// No digit at all.
    NoDigits,
    /// `4,700`: the two readings, as plain numbers.
    AmbiguousComma(String, String),
    /// More than one decimal sign; the text with all but the last removed.
    ManyDecimalSigns(String),
    /// Digits grouped otherwise than in threes.
    Grouping,
}

/// A run of digits found in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Run {
    /// The digits with their power of ten.
    pub(crate) decimal: Decimal,
    /// Its bytes in the text.
    pub(crate) span: Range<usize>,
    /// Whether it is digits alone, as the letter-for-point form needs.
    pub(crate) whole: bool,
    /// Where a capital `E` exponent begins, if one was written without a sign.
    pub(crate) capital_e: Option<usize>,
}

/// Whether a character may group digits: kinds of space, underscore, apostrophes.
fn groups(c: char) -> bool {
    matches!(
        c,
        ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '_' | '\'' | '\u{2019}'
    )
}

/// Reads the number that begins at byte `start`.
///
/// # Errors
/// The [`Fault`] and the bytes it concerns.
pub(crate) fn scan(text: &str, start: usize) -> Result<Run, (Fault, Range<usize>)> {
    let mantissa_end = run_end(text, start);
    let span = start..mantissa_end;
    let run = &text[span.clone()];
    let (digits, fraction_len) = mantissa(run).map_err(|fault| (fault, span))?;
    let (exponent, end, capital_e) = exponent(text, mantissa_end);
    Ok(Run {
        decimal: Decimal {
            negative: false,
            digits,
            exponent: exponent.saturating_sub(fraction_len),
        },
        span: start..end,
        whole: run.bytes().all(|b| b.is_ascii_digit()) && end == mantissa_end,
        capital_e,
    })
}

/// Where the digits, decimal signs and grouping marks that begin at `start` end. A
/// grouping mark belongs to the number only between two digits.
fn run_end(text: &str, start: usize) -> usize {
    let mut end = start;
    let mut after_digit = false;
    let mut rest = text[start..].chars().peekable();
    while let Some(c) = rest.next() {
        let digit_follows = rest.peek().is_some_and(char::is_ascii_digit);
        let belongs = c.is_ascii_digit()
            || c == '.'
            || c == ','
            || (groups(c) && after_digit && digit_follows);
        if !belongs {
            break;
        }
        after_digit = c.is_ascii_digit();
        end += c.len_utf8();
    }
    end
}

/// Digits of a mantissa and how many of them follow the decimal sign.
fn mantissa(run: &str) -> Result<(String, i64), Fault> {
    let signs: Vec<usize> = run
        .char_indices()
        .filter(|(_, c)| matches!(c, '.' | ','))
        .map(|(at, _)| at)
        .collect();
    if !run.bytes().any(|b| b.is_ascii_digit()) {
        return Err(Fault::NoDigits);
    }
    let (whole, fraction) = match signs[..] {
        [] => (run, ""),
        [at] => (&run[..at], &run[at + 1..]),
        [.., last] => return Err(Fault::ManyDecimalSigns(keep_last_sign(run, last))),
    };
    let whole = ungroup(whole)?;
    if fraction.chars().any(groups) {
        return Err(Fault::Grouping);
    }
    let comma = run.contains(',');
    let could_be_thousands = (1..=3).contains(&whole.len()) && whole.bytes().any(|b| b != b'0');
    if comma && fraction.len() == 3 && could_be_thousands {
        return Err(Fault::AmbiguousComma(
            format!("{whole}.{fraction}"),
            format!("{whole}{fraction}"),
        ));
    }
    let fraction_len = i64::try_from(fraction.len()).unwrap_or(i64::MAX);
    Ok((whole + fraction, fraction_len))
}

/// The run without its thousands separators, taking the last sign for the decimal one.
fn keep_last_sign(run: &str, last: usize) -> String {
    run.char_indices()
        .filter_map(|(at, c)| match c {
            '.' | ',' if at == last => Some('.'),
            c if c.is_ascii_digit() => Some(c),
            _ => None,
        })
        .collect()
}

/// Takes the grouping marks out of a whole number, if the groups are threes.
fn ungroup(whole: &str) -> Result<String, Fault> {
    let mut pieces = whole.split(groups);
    let first = pieces.next().unwrap_or_default();
    let rest: Vec<&str> = pieces.collect();
    let grouped_well = (1..=3).contains(&first.len()) && rest.iter().all(|p| p.len() == 3);
    if !rest.is_empty() && !grouped_well {
        return Err(Fault::Grouping);
    }
    Ok(rest.iter().fold(first.to_owned(), |all, p| all + p))
}

/// The power of ten written after a mantissa that ends at `at`, where the number ends,
/// and where a capital `E` without a sign stands.
fn exponent(text: &str, at: usize) -> (i64, usize, Option<usize>) {
    let rest = &text[at..];
    let Some(letter) = rest.chars().next().filter(|c| matches!(c, 'e' | 'E')) else {
        return (0, at, None);
    };
    let after = &rest[1..];
    let sign_len = usize::from(after.starts_with(['+', '-']));
    let digits: String = after[sign_len..]
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    if digits.is_empty() {
        return (0, at, None);
    }
    // An absurdly long exponent is as good as the greatest: the range check refuses it.
    let magnitude = digits.parse::<i64>().unwrap_or(i64::MAX / 4);
    let power = if after.starts_with('-') {
        -magnitude
    } else {
        magnitude
    };
    let capital = (letter == 'E' && sign_len == 0).then_some(at);
    (power, at + 1 + sign_len + digits.len(), capital)
}
