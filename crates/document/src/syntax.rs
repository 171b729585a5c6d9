//! Explains a file that is not TOML at all.

use std::ops::Range;

use toml_edit::TomlError;

use crate::complaints::boundary;
use crate::{Complaint, Objection};

/// The complaint for a syntax error.
pub(crate) fn complaint(text: &str, error: &TomlError) -> Complaint {
    let span = error.span().unwrap_or(text.len()..text.len());
    let message = error.message().trim().replace('\n', ", ");
    if let Some((bare, at)) = unquoted(text, span.start) {
        return Objection::new(
            format!("the value {bare} without quotes"),
            "a text in double quotes, a number, true, false, [ ] or { }",
            format!("write \"{bare}\""),
        )
        .at(at);
    }
    Objection::new(
        format!("a slip in the writing ({message})"),
        "lines of the form key = \"value\", headings in [ ] or [[ ]], comments after #",
        "mend the line pointed at, or the one before it",
    )
    .at(span)
}

/// The value of `key = value` on the line of the error, if it looks like a word or a
/// measure that lacks its quotes.
fn unquoted(text: &str, at: usize) -> Option<(&str, Range<usize>)> {
    let at = boundary(text, at);
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    let line = &text[start..end];
    let (key, rest) = line.split_once('=')?;
    let value = rest.split('#').next().unwrap_or(rest).trim();
    let plain = |c: char| c.is_alphanumeric() || " .,+-%µμΩ/_".contains(c);
    let sound = value.parse::<f64>().is_ok() || matches!(value, "true" | "false" | "");
    if sound || !value.chars().all(plain) || key.contains(['"', '{', '[']) {
        return None;
    }
    let value_at = start + key.len() + 1 + (rest.len() - rest.trim_start().len());
    Some((value, value_at..value_at + value.len()))
}
