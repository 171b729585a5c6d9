//! The user's file with other values in it: comments, order and everything else stay.

use crate::retune::{RetuneRequest, WidthWish};
use document::{Complaints, Document};
use units::{Hertz, Quantity};

/// The text with these parts changed (index, value as written) and, where the file states wishes
/// that were asked to change, those too.
///
/// # Errors
/// The complaints of the document, which was read before.
pub(crate) fn changed(
    request: &RetuneRequest,
    pitch_hz: f64,
    changes: &[(usize, String)],
) -> Result<String, Complaints> {
    let mut document = Document::parse(&request.name, &request.text)?;
    for (part, value) in changes {
        document
            .set_text(&["part".into(), (*part).into(), "value".into()], value)
            .expect("a part that was read has a value");
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
