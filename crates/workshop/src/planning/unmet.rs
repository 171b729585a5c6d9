//! What to say when no circuit meets every wish: which wish to give up, and how far.

use super::score::Score;
use filter::Need;
use serde::Serialize;
use units::{Hertz, Quantity, Seconds};

/// Why the need cannot be met as it stands, and the ways out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unmet {
    /// What is the matter.
    pub text: String,
    /// Each way out: one wish given up, and what is reached instead.
    pub ways: Vec<String>,
    /// The bound of physics, where it is near.
    pub bound: Option<String>,
}

/// Ways out, from everything that was tried: (what it is, its score).
#[must_use]
pub(crate) fn unmet(need: &Need, tried: &[(String, Score)]) -> Option<Unmet> {
    if tried.iter().any(|(_, s)| s.meets) {
        return None;
    }
    let mut ways = Vec::new();
    let mut kinds: Vec<&str> = Vec::new();
    for (_, score) in tried {
        if let [only] = score.misses.as_slice()
            && !kinds.contains(&only.as_str())
        {
            kinds.push(only);
        }
    }
    for kind in kinds {
        let nearest = tried
            .iter()
            .filter(|(_, s)| matches!(s.misses.as_slice(), [only] if only == kind))
            .min_by(|a, b| a.1.shortfall.total_cmp(&b.1.shortfall));
        if let Some((name, score)) = nearest {
            ways.push(way(need, kind, name, score));
        }
    }
    if ways.is_empty() {
        ways.push("no single wish is in the way: give up some width and some rejection together, or allow more stages".to_owned());
    }
    Some(Unmet {
        text: "No circuit tried meets every wish; the designs above come nearest. Giving up one wish is enough:".to_owned(),
        ways,
        bound: bound(need),
    })
}

fn way(need: &Need, kind: &str, name: &str, score: &Score) -> String {
    match kind {
        "tail" => format!(
            "accept a tail of {:.3} instead of {} ({name})",
            Seconds(score.tail_20db_s.unwrap_or(f64::INFINITY)),
            need.listening.tail
        ),
        "width" => format!(
            "accept a width of {:.3} instead of {} ({name})",
            Hertz(score.width_6db_hz.unwrap_or(0.0).round()),
            need.listening.width
        ),
        "headroom" => format!(
            "accept {:.1} dB less level before clipping, or raise the supply ({name})",
            -score.headroom_db.unwrap_or(0.0)
        ),
        "pitch" => format!("accept that the pitch sits beside the peak ({name})"),
        neighbour => format!(
            "accept {:.1} dB less than asked at the neighbour at {neighbour} ({name})",
            -score.neighbour_margin_db.unwrap_or(0.0)
        ),
    }
}

/// The least memory that parts the strictest neighbour: `Δ·T ≥ acosh(10^(R/20))/π`, the
/// transform of the Dolph–Chebyshev window \[DOLPH\].
fn bound(need: &Need) -> Option<String> {
    let (neighbour, memory) = need
        .listening
        .neighbours
        .iter()
        .map(|n| {
            let ratio = 10f64.powf(n.down.si() / 20.0);
            (
                n,
                ratio.acosh() / std::f64::consts::PI / n.offset.si().abs(),
            )
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let tail = need.listening.tail;
    let forbids = memory > tail.si();
    Some(format!(
        "Physics: a filter that forgets everything within T cannot be {} down at {} either side unless T is at least {:.3}{}. \
         Only a tail that lingers below the level asked for may be shorter.",
        neighbour.down,
        Hertz(neighbour.offset.si().abs()),
        Seconds(memory),
        if forbids {
            format!(", longer than the {tail} asked for")
        } else {
            String::new()
        }
    ))
}
