//! When the allowed parts cannot do it, and why.
//!
//! A wish is refused only when its figure alone, with every allowed part free in its range, cannot
//! be brought there: first the way is searched for, and only where none is found are the bounds
//! worked out.

use super::bench::Bench;
use super::parts::reference;
use crate::retune::{RetuneRequest, WidthWish};
use circuit::variants::Variants;
use filter::retune::{Band, Onlooker, Reach, Travel, reach};
use filter::swaps::{Place, best_free};
use units::{Decibels, Hertz};

/// A wish that comes this near is within reach: a share of the width, of the width itself, and dB.
const NEAR_CENTRE: f64 = 0.05;
const NEAR_WIDTH: f64 = 0.05;
const NEAR_DB: f64 = 0.5;

/// A sentence when the wish asks for nothing, or for what no circuit has.
pub(crate) fn refuse_wish(request: &RetuneRequest) -> Result<(), String> {
    if request.pitch.is_none() && request.width.is_none() && request.gain.is_none() {
        return Err(
            "nothing is asked for; say --pitch, --width or --gain, or any mix of them, \
             such as --pitch \"600 Hz\""
                .to_owned(),
        );
    }
    if request.width == Some(WidthWish::InProportion) && request.pitch.is_none() {
        return Err(
            "the width is to go in proportion to the pitch, but no pitch is asked for; add \
             --pitch, or state the width itself"
                .to_owned(),
        );
    }
    if let (Some(pitch), Some(WidthWish::Hertz(width))) = (request.pitch, request.width) {
        let half = 0.5 * width.0;
        let (low, high) = (half.hypot(pitch.0) - half, half.hypot(pitch.0) + half);
        if low < 20.0 || high > 20e3 {
            return Err(format!(
                "a pitch of {pitch} with a width of {width} has its edges at {:.0} and {:.0}; both \
                 have to lie from 20 Hz to 20 kHz: ask for a narrower width",
                Hertz(low),
                Hertz(high)
            ));
        }
    }
    Ok(())
}

/// One figure that was asked for.
struct Figure {
    what: &'static str,
    of: fn(&Band) -> f64,
    wanted: f64,
    /// Distance of a value from the wanted one, in what counts as near.
    distance: Box<dyn Fn(f64) -> f64>,
    shown: fn(f64) -> String,
}

/// Why a wish is beyond the allowed parts, if it is.
pub(crate) fn beyond(
    bench: &Bench<'_>,
    request: &RetuneRequest,
    places: &[Place],
) -> Option<String> {
    let figures = figures(bench, request);
    figures
        .into_iter()
        .find(|figure| !comes_near(bench, places, figure))
        .and_then(|figure| told(bench, places, &figure))
}

fn figures(bench: &Bench<'_>, request: &RetuneRequest) -> Vec<Figure> {
    let wanted = &bench.wanted;
    let (pitch, width) = (wanted.pitch_hz, wanted.width_hz);
    let mut all = Vec::new();
    if request.pitch.is_some() {
        all.push(Figure {
            what: "the centre",
            of: |b| b.centre_hz,
            wanted: pitch,
            distance: Box::new(move |f| pitch * (f / pitch).ln() / (NEAR_CENTRE * width)),
            shown: |f| format!("{:.3}", Hertz(f)),
        });
    }
    if request.width.is_some() {
        all.push(Figure {
            what: "the width 6 dB down",
            of: |b| b.width_hz,
            wanted: width,
            distance: Box::new(move |f| (f / width).ln() / NEAR_WIDTH),
            shown: |f| format!("{:.3}", Hertz(f)),
        });
    }
    if request.gain.is_some() {
        let peak = wanted.gain_db + bench.old.peak_db - bench.old_gain_db;
        all.push(Figure {
            what: "the gain",
            // As a ratio, which is never zero or below.
            of: |b| 10f64.powf(b.peak_db / 20.0),
            wanted: 10f64.powf(peak / 20.0),
            distance: Box::new(move |ratio| (20.0 * ratio.log10() - peak) / NEAR_DB),
            shown: |ratio| Decibels((200.0 * ratio.log10()).round() / 10.0).to_string(),
        });
    }
    all
}

/// Whether the figure alone can be brought near, every part free.
fn comes_near(bench: &Bench<'_>, places: &[Place], figure: &Figure) -> bool {
    let judge = |v: &Variants| -> Vec<Option<Vec<f64>>> {
        let bands = bench.eyes.bands(v).into_iter();
        let off = |b: Band| vec![(figure.distance)((figure.of)(&b))];
        bands.map(|b| b.map(off)).collect()
    };
    let members: Vec<usize> = (0..places.len()).collect();
    best_free(places, &members, &judge).is_some_and(|(_, error)| error < 1.0)
}

fn told(bench: &Bench<'_>, places: &[Place], figure: &Figure) -> Option<String> {
    let eyes = Onlooker::new(bench.circuit, bench.system, Travel::decade()).ok()?;
    let look = |v: &Variants| -> Vec<Option<f64>> {
        let bands = eyes.bands(v).into_iter();
        bands.map(|b| b.map(|b| (figure.of)(&b))).collect()
    };
    let found = reach(places, &look)?;
    let within = (figure.distance)(found.least) <= 1.0 && (figure.distance)(found.greatest) >= -1.0;
    if within {
        return None;
    }
    Some(sentence(bench, places, figure, &found))
}

fn sentence(bench: &Bench<'_>, places: &[Place], figure: &Figure, found: &Reach) -> String {
    let name = |k: usize| reference(bench.circuit, bench.system, &places[k]);
    let all: Vec<&str> = (0..places.len()).map(name).collect();
    let idle: Vec<&str> = found.idle.iter().map(|&k| name(k)).collect();
    let Figure { what, shown, .. } = figure;
    let wanted = shown(figure.wanted);
    if idle.len() == all.len() {
        return format!(
            "{what} cannot be brought to {wanted}: {} not move it at all, from end to end of the \
             values there are; allow a part that does",
            doing(&all)
        );
    }
    let proof = if found.is_bound {
        "it rises or falls with each of them wherever it was evaluated, and these are the ends"
    } else {
        "the farthest that was found, from every corner of their values"
    };
    let idle = if idle.is_empty() {
        String::new()
    } else {
        format!(" ({} not move it)", doing(&idle))
    };
    format!(
        "{what} cannot be brought to {wanted}: between {} and {} is within reach of {}{idle}; \
         {proof}. Allow more parts, a wider range of values, or ask for less",
        shown(found.least),
        shown(found.greatest),
        all.join(", ")
    )
}

/// `R3 does`, or `R3, R4 do`.
fn doing(names: &[&str]) -> String {
    let verb = if names.len() == 1 { "does" } else { "do" };
    format!("{} {verb}", names.join(", "))
}
