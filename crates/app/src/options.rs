//! Option values as people type them.

use units::{Hertz, Quantity, Wpm};
use workshop::check::{PITCHES, SPEEDS};

/// A list of frequencies as typed after `--at`.
#[derive(Debug, Clone)]
pub(crate) struct Frequencies(pub(super) Vec<Hertz>);

/// Reads a pitch, in the range that files allow.
pub(crate) fn pitch(text: &str) -> Result<Hertz, String> {
    within(text, PITCHES)
}

/// Reads a speed, in the range that files allow.
pub(crate) fn speed(text: &str) -> Result<Wpm, String> {
    within(text, SPEEDS)
}

fn within<Q: Quantity>(text: &str, (least, most): (Q, Q)) -> Result<Q, String> {
    let value = Q::parse(text).map_err(|e| e.to_string())?;
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(format!(
            "found {value}; allowed: {least} to {most}; write one in that range"
        ))
    }
}

/// Reads one quantity, which has to be greater than zero.
fn quantity<Q: Quantity>(text: &str) -> Result<Q, String> {
    let value = Q::parse(text).map_err(|e| e.to_string())?;
    if value.si() > 0.0 {
        Ok(value)
    } else {
        Err(format!("found {text}; it has to be greater than zero"))
    }
}

/// Reads a comma-separated list of frequencies.
pub(crate) fn frequencies(text: &str) -> Result<Frequencies, String> {
    const MOST: usize = 10_000;
    let list: Vec<Hertz> = text
        .split(',')
        .map(|item| quantity::<Hertz>(item.trim()))
        .collect::<Result<_, _>>()?;
    if list.len() > MOST {
        return Err(format!(
            "found {} frequencies; at most {MOST} are allowed",
            list.len()
        ));
    }
    Ok(Frequencies(list))
}
