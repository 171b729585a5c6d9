//! How far the allowed parts can move a figure at all.
//!
//! Where a figure rises or falls with each part throughout, its extremes stand at the corner of
//! the ranges to which the signs of its slopes point. The corner is evaluated, and so is every
//! corner that differs from it in one or two parts, and points between: what they say otherwise
//! moves the bound, until nothing does. A bound that never moved and whose slopes keep their
//! signs is told as such; the rest is the farthest that was found.

use crate::swaps::Place;
use circuit::variants::Variants;

/// How far a figure can be moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub greatest: f64,
    /// Whether the figure rises or falls with every part throughout, as far as was evaluated,
    /// so that these are bounds and not only the farthest that was found.
    pub is_bound: bool,
    /// Places that do not move it: by less than [`IDLE`] of it from end to end.
    pub idle: Vec<usize>,
}

/// Points at which slopes are taken from end to end of a range.
const POINTS: usize = 7;
/// A part that moves the figure by less than this share does not move it: a tenth of a hertz at
/// most, far below what any part's tolerance does.
pub const IDLE: f64 = 1e-4;
/// What is read off a response is not distinguished any finer.
const NOISE: f64 = 1e-6;
/// Rounds of moving a corner.
const ROUNDS: usize = 12;

/// How far `figure` can be moved by the places, each free in its range; `None` where the circuit
/// as it is does not have it.
pub fn reach(places: &[Place], figure: &impl Fn(&Variants) -> Vec<Option<f64>>) -> Option<Reach> {
    let now: Vec<f64> = places.iter().map(|p| p.now).collect();
    let present = evaluate(places, figure, std::slice::from_ref(&now))[0]?;
    let lines: Vec<Line> = lines(places, figure, &now, present);
    let idle: Vec<usize> = (0..places.len()).filter(|&k| lines[k].is_idle).collect();
    let mut is_bound = lines.iter().all(|l| l.is_idle || l.is_monotone);
    let mut bound = |rising: bool| {
        let corner: Vec<f64> = places
            .iter()
            .zip(&lines)
            .map(|(place, line)| match (line.is_idle, line.rises == rising) {
                (true, _) => place.now,
                (false, true) => place.reach().1,
                (false, false) => place.reach().0,
            })
            .collect();
        let (value, moved) = farthest(places, figure, corner, present, rising);
        is_bound &= !moved;
        value
    };
    Some(Reach {
        least: bound(false),
        greatest: bound(true),
        is_bound,
        idle,
    })
}

/// What one part does to the figure from end to end of its range.
struct Line {
    is_idle: bool,
    is_monotone: bool,
    rises: bool,
}

fn lines(
    places: &[Place],
    figure: &impl Fn(&Variants) -> Vec<Option<f64>>,
    now: &[f64],
    present: f64,
) -> Vec<Line> {
    let mut rows = Vec::new();
    for (k, place) in places.iter().enumerate() {
        let (low, high) = place.reach();
        for point in 0..POINTS {
            let mut row = now.to_vec();
            row[k] = low * (high / low).powf(point as f64 / (POINTS - 1) as f64);
            rows.push(row);
        }
    }
    let values = evaluate(places, figure, &rows);
    values
        .chunks(POINTS)
        .map(|chunk| {
            let there: Vec<f64> = chunk.iter().flatten().copied().collect();
            let steps: Vec<f64> = there.windows(2).map(|w| w[1] - w[0]).collect();
            let noise = NOISE * present.abs().max(1e-9);
            let still = |v: &f64| (v - present).abs() <= IDLE * present.abs();
            let is_idle = there.len() == POINTS && there.iter().all(still);
            let rises = steps.iter().sum::<f64>() > 0.0;
            let is_monotone = there.len() == POINTS
                && steps
                    .iter()
                    .all(|s| s.abs() <= noise || (*s > 0.0) == rises);
            Line {
                is_idle,
                is_monotone,
                rises,
            }
        })
        .collect()
}

/// The farthest value from a corner on, and whether the corner had to be left for it.
fn farthest(
    places: &[Place],
    figure: &impl Fn(&Variants) -> Vec<Option<f64>>,
    corner: Vec<f64>,
    present: f64,
    rising: bool,
) -> (f64, bool) {
    let better = |a: f64, b: f64| {
        if rising {
            a > b * (1.0 + NOISE)
        } else {
            a < b * (1.0 - NOISE)
        }
    };
    let first = evaluate(places, figure, std::slice::from_ref(&corner))[0];
    let mut moved = first.is_none();
    let now: Vec<f64> = places.iter().map(|p| p.now).collect();
    // A corner at which the figure does not exist: from the circuit as it is.
    let mut at = if moved { now } else { corner };
    let mut value = first.unwrap_or(present);
    if better(present, value) {
        (value, moved) = (present, true);
    }
    for _ in 0..ROUNDS {
        let rows = around(places, &at);
        let values = evaluate(places, figure, &rows);
        let best = rows
            .into_iter()
            .zip(values)
            .filter_map(|(row, v)| Some((row, v?)))
            .reduce(|a, b| if better(b.1, a.1) { b } else { a });
        match best.filter(|(_, v)| better(*v, value)) {
            Some((row, v)) => {
                (at, value, moved) = (row, v, true);
            }
            None => break,
        }
    }
    (value, moved)
}

/// Every point that differs in one part, at an end, the middle or in between of its range, and
/// every corner that differs in two.
fn around(places: &[Place], at: &[f64]) -> Vec<Vec<f64>> {
    let mut rows = Vec::new();
    for (k, place) in places.iter().enumerate() {
        let (low, high) = place.reach();
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let mut row = at.to_vec();
            row[k] = low * (high / low).powf(share);
            rows.push(row);
        }
        for end in [low, high] {
            for (l, other) in places.iter().enumerate().skip(k + 1) {
                let (least, most) = other.reach();
                for other_end in [least, most] {
                    let mut row = at.to_vec();
                    (row[k], row[l]) = (end, other_end);
                    rows.push(row);
                }
            }
        }
    }
    rows
}

fn evaluate(
    places: &[Place],
    figure: &impl Fn(&Variants) -> Vec<Option<f64>>,
    rows: &[Vec<f64>],
) -> Vec<Option<f64>> {
    let mut variants = Variants::of(places.iter().map(|p| p.parameter).collect());
    for row in rows {
        variants.push(row).expect("values above zero");
    }
    figure(&variants)
}
