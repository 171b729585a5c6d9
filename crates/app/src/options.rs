//! Option values as people type them.

use units::{Hertz, Quantity};

/// A list of frequencies as typed after `--at`.
#[derive(Debug, Clone)]
pub(crate) struct Frequencies(pub(super) Vec<Hertz>);

/// Reads one quantity, which has to be greater than zero.
pub(crate) fn quantity<Q: Quantity>(text: &str) -> Result<Q, String> {
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
