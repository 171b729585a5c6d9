//! Option values as people type them.

use units::{Decibels, Hertz, Quantity, Wpm};
use workshop::check::{PITCHES, SPEEDS};
use workshop::retune::{GAINS, ValueRule, WIDTHS, WidthWish};
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

/// Reads a width, or that it goes with the pitch.
pub(crate) fn width(text: &str) -> Result<WidthWish, String> {
    if matches!(
        text.trim(),
        "in proportion" | "proportion" | "in-proportion"
    ) {
        return Ok(WidthWish::InProportion);
    }
    let advice = |e| format!("{e}; or write \"in proportion\" to let it go with the pitch");
    within(text, WIDTHS).map(WidthWish::Hertz).map_err(advice)
}

/// Reads a gain.
pub(crate) fn gain(text: &str) -> Result<Decibels, String> {
    within(text, GAINS)
}

/// Reads what changing a part costs: `R3=5`.
pub(crate) fn price(text: &str) -> Result<(String, f64), String> {
    let told = || format!("found \"{text}\"; allowed: a part and a price; write \"R3 = 5\"");
    let (name, price) = text.split_once('=').ok_or_else(told)?;
    let price = number(price, 0.1, 1000.0, "a part that is easy to reach costs 1")?;
    match name.trim() {
        "" => Err(told()),
        name => Ok((name.to_owned(), price)),
    }
}

/// Reads a series, or a series and a range: `E24`, `E24 1k to 1M`.
pub(crate) fn values<Q: Quantity>(text: &str) -> Result<ValueRule<Q>, String> {
    text.parse()
}
