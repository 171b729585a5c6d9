//! Explains a file that is not TOML at all.

use std::ops::Range;

use toml_edit::TomlError;

use crate::complaints::boundary;
use crate::{Complaint, Objection};

/// The complaint for a syntax error.
pub(crate) fn complaint(text: &str, error: &TomlError) -> Complaint {
    let span = error.span().unwrap_or(text.len()..text.len());
    let message = error.message().trim().replace('\n', ", ");
    let duplicate = message.contains("duplicate key");
    if !duplicate && let Some(segment) = value_around(text, span.start) {
        let value = &text[segment.clone()];
        if let Some(objection) = curly(value).or_else(|| unquoted(value)) {
            return objection.at(segment);
        }
    }
    let (found, advice) = explained(&message, &text[span.clone()]);
    Objection::new(
        found,
        "lines of the form key = \"value\", headings in [ ] or [[ ]], comments after #",
        advice,
    )
    .at(span)
}

/// The parser's message in the words of a builder, and what to do.
fn explained(message: &str, at: &str) -> (String, String) {
    let owned = |found: &str, advice: &str| (found.to_owned(), advice.to_owned());
    if message.contains("duplicate key") {
        return (
            format!("\"{at}\" a second time"),
            "take one of the two out, or give its heading double brackets if there are several"
                .to_owned(),
        );
    }
    if message.contains("escaped value") {
        return owned(
            "a \\ before a letter it does not go with",
            "write \\\\ for \\",
        );
    }
    if message.contains("basic string") || message.contains("literal string") {
        return owned(
            "a text that its quotes do not close",
            "put a quote at its end, on the same line",
        );
    }
    for (opened, close) in [("array", "]"), ("inline table", "}"), ("table", "]")] {
        if message.starts_with(&format!("unclosed {opened}")) {
            return (
                format!("no {close} to close what was opened"),
                format!("put {close} at its end"),
            );
        }
    }
    if message.contains("key with no value") {
        return owned("a key without a value", "write key = \"value\"");
    }
    (
        format!("a slip in the writing ({message})"),
        "mend the line pointed at, or the one before it".to_owned(),
    )
}

/// The bytes of the value that a byte lies in or behind: from the `=`, `,` or `[` before
/// it to the `,`, `]`, `}`, `#` or end of line after it. `None` where no value stands.
fn value_around(text: &str, at: usize) -> Option<Range<usize>> {
    let at = boundary(text, at);
    let before = text[..at].rfind(['=', ',', '[', '{', '\n'])?;
    let opener = match text.as_bytes()[before] {
        b'\n' => text[..before].trim_end().as_bytes().last().copied()?,
        byte => byte,
    };
    let line_start = text[..before].rfind('\n').map_or(0, |n| n + 1);
    let heading = text[line_start..before].trim().is_empty() && text.as_bytes()[before] == b'[';
    if heading || !matches!(opener, b'=' | b',' | b'[') {
        return None;
    }
    let begin = before + 1;
    let length = text[begin..].find([',', ']', '}', '#', '\n']);
    let segment = &text[begin..length.map_or(text.len(), |n| begin + n)];
    let value = segment.trim();
    let start = begin + (segment.len() - segment.trim_start().len());
    (!value.is_empty()).then_some(start..start + value.len())
}

/// A word or a measure that lacks its quotes.
fn unquoted(value: &str) -> Option<Objection> {
    let plain = |c: char| c.is_alphanumeric() || " .+-%µμΩ/_√°±".contains(c);
    let sound = value.parse::<f64>().is_ok() || matches!(value, "true" | "false");
    (!sound && value.chars().all(plain)).then(|| {
        Objection::new(
            format!("the value {value} without quotes"),
            "a text in double quotes, a number, true, false, [ ] or { }",
            format!("write \"{value}\""),
        )
    })
}

/// A text in the curly quotes that word processors put in.
fn curly(value: &str) -> Option<Objection> {
    let quotes = ['“', '”', '„', '‘', '’', '«', '»'];
    value.starts_with(quotes).then(|| {
        Objection::new(
            "curly quotes",
            "straight double quotes",
            format!("write \"{}\"", value.trim_matches(quotes)),
        )
    })
}
