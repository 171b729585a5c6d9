//! What was asked for and what stays, in words.

use super::bench::Bench;
use crate::retune::{RetuneRequest, WidthWish};
use units::{Decibels, Hertz};

/// What is to change.
pub(crate) fn asked(bench: &Bench<'_>, request: &RetuneRequest) -> Vec<String> {
    let wanted = &bench.wanted;
    let mut all = Vec::new();
    if request.pitch.is_some() {
        all.push(format!("the centre to {:.4}", Hertz(wanted.pitch_hz)));
    }
    match request.width {
        Some(WidthWish::Hertz(f)) => all.push(format!("the width 6 dB down to {f:.4}")),
        Some(WidthWish::InProportion) => all.push(format!(
            "the width 6 dB down in proportion, to {:.3}",
            Hertz(wanted.width_hz)
        )),
        None => {}
    }
    if request.gain.is_some() {
        all.push(format!("the gain to {}", tenths(wanted.gain_db)));
    }
    all
}

/// What stays as it is.
pub(crate) fn stays(bench: &Bench<'_>, request: &RetuneRequest) -> Vec<String> {
    let wanted = &bench.wanted;
    let mut all = Vec::new();
    if request.pitch.is_none() {
        all.push(format!("the centre at {:.4}", Hertz(wanted.pitch_hz)));
    }
    if request.width.is_none() {
        all.push(format!(
            "the width 6 dB down at {:.3}",
            Hertz(wanted.width_hz)
        ));
    }
    if request.gain.is_none() {
        all.push(format!(
            "the gain at the centre at {}",
            tenths(wanted.gain_db)
        ));
    }
    all.push("the shape".to_owned());
    all
}

fn tenths(db: f64) -> String {
    format!("{:+}", Decibels((10.0 * db).round() / 10.0))
}
