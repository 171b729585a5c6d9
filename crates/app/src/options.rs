//! Option values as people type them.

use units::{Hertz, Quantity, Wpm};
use workshop::check::{PITCHES, SPEEDS};
use workshop::spread::MOST_TRIALS;

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

/// Reads how many trials to make.
pub(crate) fn trials(text: &str) -> Result<u64, String> {
    let allowed = format!("allowed: a whole number, 1 to {MOST_TRIALS}");
    match text.trim().replace('_', "").parse() {
        Ok(count) if (1..=MOST_TRIALS).contains(&count) => Ok(count),
        Ok(count) => Err(format!(
            "found {count}; {allowed}; ten thousand give the yield to a point"
        )),
        Err(_) => Err(format!("found \"{text}\"; {allowed}; write 10000")),
    }
}

/// Reads how alike the parts of one bag are.
pub(crate) fn alike(text: &str) -> Result<f64, String> {
    number(
        text,
        0.0,
        1.0,
        "0 is chance alone and 1 a matched set; write 0.5",
    )
}

/// Reads the temperature of a room, with or without its unit.
pub(crate) fn celsius(text: &str) -> Result<f64, String> {
    let bare = text
        .trim()
        .trim_end_matches('C')
        .trim_end_matches('°')
        .trim();
    number(bare, -40.0, 85.0, "in degrees Celsius; write 25")
}

fn number(text: &str, least: f64, most: f64, advice: &str) -> Result<f64, String> {
    match text.trim().parse::<f64>() {
        Ok(x) if (least..=most).contains(&x) => Ok(x),
        _ => Err(format!(
            "found \"{text}\"; allowed: a number, {least} to {most}; {advice}"
        )),
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
