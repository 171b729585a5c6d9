//! The user's file with other values in it: comments, order and everything else stay, but what is
//! no longer true of a part that was swapped.

use super::refit::{Change, Fact};
use crate::retune::{RetuneRequest, WidthWish};
use document::{Complaints, Document, Step};
use units::{Hertz, Quantity};

/// The text with these parts changed and, where the file states wishes
/// that were asked to change, those too.
///
/// # Errors
/// The complaints of the document, which was read before.
pub(crate) fn changed(
    request: &RetuneRequest,
    pitch_hz: f64,
    changes: &[Change],
) -> Result<String, Complaints> {
    let mut document = Document::parse(&request.name, &request.text)?;
    for change in changes {
        write(&mut document, change);
    }
    // A wish that the file does not state is not put there.
    let mut wish = |table: &str, key: &str, value: String| {
        let _ = document.set_text(&[table.into(), key.into()], &value);
    };
    if request.pitch.is_some() {
        wish("listening", "pitch", Hertz(pitch_hz).exact());
    }
    if let Some(WidthWish::Hertz(width)) = request.width {
        wish("listening", "width", width.exact());
    }
    if let Some(gain) = request.gain {
        wish("levels", "gain", gain.exact());
    }
    Ok(document.text().to_owned())
}

fn write(document: &mut Document, change: &Change) {
    let part = ["part".into(), change.part.into()];
    let place = |key| [part[0], part[1], Step::Key(key)];
    document
        .set_text(&place("value"), &change.value)
        .expect("a part that was read has a value");
    // What is added stands right after another key, so the last comes first.
    for (key, fact) in change.facts.iter().rev() {
        let after = if *key == "note" { "between" } else { "value" };
        match fact {
            Fact::Stays => {}
            Fact::Gone => document
                .take_out(&part, key)
                .expect("what was read stands there"),
            Fact::Is(new) => document
                .set_text(&place(key), new)
                .or_else(|_| document.add_text(&part, after, key, new))
                .expect("a part that was read has a value and two ends"),
        }
    }
}
