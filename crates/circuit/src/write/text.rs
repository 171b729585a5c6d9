//! Texts and values as they stand in the file.

use units::Quantity;

/// A text in double quotes, escaped.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out += "\\\"",
            '\\' => out += "\\\\",
            '\n' => out += "\\n",
            '\t' => out += "\\t",
            '\r' => out += "\\r",
            c if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out + "\""
}

/// A quantity in quotes: short where that loses nothing, else with all its digits.
pub(super) fn shown<Q: Quantity>(value: Q) -> String {
    let short = value.short();
    let is_exact = Q::parse(&short).is_ok_and(|read| read.si().to_bits() == value.si().to_bits());
    quoted(&if is_exact { short } else { value.exact() })
}

/// A plain number that reads back to the same bits and is a number to the reader too.
pub(super) fn number(value: f64) -> String {
    format!("{value:?}")
}
