//! What to say when no circuit meets every wish: which wish to give up, and how far.

use super::candidate::{Tried, counted};
use super::score;
use filter::Need;
use serde::Serialize;
use units::{Decibels, Hertz, Quantity, Seconds};

/// Most stages that a need may allow.
const MOST_STAGES: usize = 6;

/// Share of the tail asked for from which the bound is worth a word.
const NEAR: f64 = 0.6;

/// Why the need cannot be met as it stands, and the ways out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unmet {
    /// What is the matter.
    pub text: String,
    /// Neighbours that the width asked for lets in.
    pub clash: Option<String>,
    /// Each way out: one wish given up, and what is reached instead.
    pub ways: Vec<String>,
    /// The bound of physics, where it is near.
    pub bound: Option<String>,
}

/// Ways out for a need that `first`, the best of all designs, does not meet, from everything
/// that was tried; `sound` says whether a circuit may be offered at all.
#[must_use]
pub(crate) fn unmet(
    need: &Need,
    first: &Tried,
    tried: &[&Tried],
    sound: impl Fn(&Tried) -> bool,
) -> Option<Unmet> {
    if first.score.meets {
        return None;
    }
    let only = |t: &Tried| match t.score.misses.as_slice() {
        [one] => Some(one.clone()),
        _ => None,
    };
    let mut kinds: Vec<String> = Vec::new();
    for kind in tried.iter().filter_map(|t| only(t)) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let mut ways: Vec<String> = kinds
        .iter()
        .filter_map(|kind| {
            let misses_it = |t: &&&Tried| only(t).as_ref() == Some(kind);
            let mut each: Vec<&&Tried> = tried.iter().filter(misses_it).collect();
            each.sort_by(|a, b| a.score.shortfall.total_cmp(&b.score.shortfall));
            let least = each.into_iter().find(|t| sound(t))?;
            Some(format!(
                "{} ({})",
                concession(need, kind, least),
                least.name()
            ))
        })
        .collect();
    let text = if ways.is_empty() {
        let each: Vec<String> = first
            .score
            .misses
            .iter()
            .map(|kind| concession(need, kind, first))
            .collect();
        ways.push(format!("{} ({})", each.join(", and "), first.name()));
        "No circuit tried meets every wish, and giving up one is not enough. The nearest asks:"
    } else {
        "No circuit tried meets every wish; the designs above come nearest. Giving up one wish is enough:"
    };
    if need.parts.most_stages < MOST_STAGES {
        ways.push(format!(
            "or allow more than {}: stages = {{ most = {} }}",
            counted(need.parts.most_stages),
            need.parts.most_stages + 1
        ));
    }
    Some(Unmet {
        text: text.to_owned(),
        clash: clash(need),
        ways,
        bound: bound(need),
    })
}

/// Down at least this much, a neighbour is asked to be outside of the width, which is measured
/// 6 dB down.
const OUTSIDE_DB: f64 = 6.0;

/// Names the neighbours that stand closer to the pitch than half the width asked for.
fn clash(need: &Need) -> Option<String> {
    let half = need.listening.width.si() / 2.0;
    let inside: Vec<String> = need
        .listening
        .neighbours
        .iter()
        .filter(|n| n.offset.si().abs() < half && n.down.si() > OUTSIDE_DB)
        .map(|n| score::offset_name(n.offset.si()))
        .collect();
    (!inside.is_empty()).then(|| {
        format!(
            "Two wishes pull against each other: a filter {} wide about the pitch reaches {} to \
             either side and lets in what stands at {}.",
            need.listening.width,
            Hertz(half),
            inside.join(" and ")
        )
    })
}

/// What has to be accepted for one miss of one design.
fn concession(need: &Need, kind: &str, t: &Tried) -> String {
    let score = &t.score;
    match kind {
        "tail" => format!(
            "accept a tail of {:.3} instead of {}",
            Seconds(score.tail_20db_s.unwrap_or(f64::INFINITY)),
            need.listening.tail
        ),
        "width" => format!(
            "accept a width of {:.3} instead of {}",
            Hertz(score.width_6db_hz.unwrap_or(0.0).round()),
            need.listening.width
        ),
        "headroom" => format!(
            "accept {:.1} dB less level before clipping, or raise the supply",
            -score.headroom_db.unwrap_or(0.0)
        ),
        "pitch" => "accept that the pitch sits beside the peak".to_owned(),
        "gain" => format!(
            "accept a gain of {:+.1} dB instead of {:+.1} dB",
            t.gist.response.gain_at_pitch_db,
            need.levels.gain.si()
        ),
        offset => {
            let short = t
                .gist
                .neighbours
                .iter()
                .find(|n| score::offset_name(n.offset_hz) == offset)
                .and_then(|n| n.wanted_db.map(|wanted| wanted - n.down_db));
            format!(
                "accept {:.1} dB less than asked at the neighbour at {offset}",
                short.unwrap_or(0.0)
            )
        }
    }
}

/// The least memory that parts the strictest neighbour where others stand on both sides:
/// `Δ·T ≥ acosh(10^(R/20))/π`, the transform of the Dolph–Chebyshev window \[DOLPH\].
/// `None` where the tail asked for leaves room enough.
fn bound(need: &Need) -> Option<String> {
    let beside = |above: bool| {
        let neighbours = need.listening.neighbours.iter();
        neighbours.filter(move |n| (n.offset.si() > 0.0) == above)
    };
    // What both sides are sure to be asked for: the lesser attenuation, from the farther on.
    let (down, offset, memory) = beside(true)
        .flat_map(|upper| beside(false).map(move |lower| (upper, lower)))
        .map(|(upper, lower)| {
            let down = upper.down.si().min(lower.down.si());
            let offset = upper.offset.si().max(-lower.offset.si());
            (down, offset, least_memory(down, offset))
        })
        .max_by(|a, b| a.2.total_cmp(&b.2))?;
    let tail = need.listening.tail;
    if memory < NEAR * tail.si() {
        return None;
    }
    Some(format!(
        "Physics: a filter that forgets everything within T cannot be {} down from {} outwards on both sides \
         unless T is at least {:.3}{}. Only a tail that lingers below the level asked for may be shorter.",
        Decibels(down),
        Hertz(offset),
        Seconds(memory),
        if memory > tail.si() {
            format!(", longer than the {tail} asked for")
        } else {
            String::new()
        }
    ))
}

/// Seconds that keep what is `offset` hertz away and farther `down` decibels down.
fn least_memory(down: f64, offset: f64) -> f64 {
    10f64.powf(down / 20.0).acosh() / (std::f64::consts::PI * offset)
}
