//! Calm band-pass filters: the user's own trade, settled on the true response.
//!
//! The narrow-band picture (a low-pass equivalent shifted to the pitch) fails when an
//! offset is more than about a fifth of the pitch: the lower skirt is then steeper than
//! the upper. So the equivalent only provides starts, and poles and nulls are searched
//! again on the real filter with neighbours at their signed offsets, the width between
//! the true edges and the envelope with its ripple at twice the pitch. After the tail the
//! envelope must go on falling until three tails after key-up, usually 12 dB per tail (−44 dB
//! by then, for a tail to −20 dB), so that no long ringing hides just under the level.

use numeric::{Lowest, minimax};
use units::{Decibels, Hertz, Seconds};

use super::Found;
use super::bound::{linear_bound, memory_bound};
use super::equivalent::stop_from;
use super::found::FOUND;
use super::plant::Plant;
use super::refused::CalmRefused;
use super::search::{CalmProblem, NEPERS, Slopes, StopEdge};
use crate::bandpass::{BandResponse, Rational};
use crate::{Neighbour, Section, Shape};

/// What the ear asks of a calm filter.
#[derive(Debug, Clone, PartialEq)]
pub struct CalmWish {
    /// The pitch.
    pub pitch: Hertz,
    /// Signals to keep down, at signed offsets; each holds from there outwards.
    pub neighbours: Vec<Neighbour>,
    /// Least full width 6 dB below the peak.
    pub width: Hertz,
    /// Longest tail.
    pub tail: Seconds,
    /// Level that ends the tail, under the settled one.
    pub tail_level: Decibels,
    /// How much further the envelope must fall with every tail after the first, until three
    /// tails after key-up; 12 dB is a clean decay, 0 dB only stays under the level.
    pub falling: Decibels,
    /// How far the peak may stand above the pitch.
    pub peak_over_pitch: Decibels,
}

/// Which wish gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CalmTrade {
    /// Neighbours and width hold; the tail is as short as it can be.
    LeastTail,
    /// Tail and width hold; every neighbour goes down by as much more as can be.
    MostRejection,
    /// All wishes give or gain together: one decibel for five per cent of tail or width.
    Balanced,
}

/// What is known of the least tail, for the narrow band and neighbours on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalmBound {
    /// Least tail to −40 dB of a filter that remembers no longer than it.
    pub memory: Seconds,
    /// Least tail to −40 dB of any linear filter that goes on falling, where computed.
    pub linear: Option<Seconds>,
}

/// A calm band-pass filter.
#[derive(Debug, Clone, PartialEq)]
pub struct CalmBand {
    /// Band-pass sections, and notch sections when nulls were asked, by rising frequency.
    pub sections: Vec<Section>,
    /// How far each neighbour is down, in the order of the wish: found.
    pub neighbours: Vec<Decibels>,
    /// Full width 6 dB below the peak: found.
    pub width: Hertz,
    /// Tail to the wish's level: found.
    pub tail: Seconds,
    /// Tail 40 dB down: found.
    pub tail_40: Seconds,
    /// The peak over the pitch: found.
    pub peak_over_pitch: Decibels,
    /// The least tail 40 dB down for the rejection reached: proven. `None` when the
    /// neighbours do not stand on both sides.
    pub bound: Option<CalmBound>,
    /// Evaluations of the true response spent.
    pub surveys: usize,
}

/// Most resonators searched.
const MOST_RESONATORS: usize = 8;

/// Surveys allowed to each start and to the polish of the best.
const FIRST_LOOK: usize = 45;
const POLISH: usize = 160;

/// Held back from every wish, nepers (a thousandth of a decibel): an end of the search that
/// is not quite settled then still holds them.
const HAIR: f64 = 1e-4;

/// A clean decay: how fast the envelope goes on falling after the tail, dB per tail.
pub(crate) const CLEAN_FALL_DB: f64 = 12.0;

/// Penalty on a neper of broken wish: more than any wish is worth of another one.
const PENALTY: f64 = 20.0;

/// Five per cent of tail or width for a decibel, as `x_0` counts nepers of rejection.
const EASE: f64 = 0.048_790_164_169_432 / NEPERS;

/// Searches `resonators` resonators, `notches` of them pairs with a null below and a null
/// above the pitch, for the trade asked.
///
/// # Errors
/// When nothing can be traded or a figure makes no sense.
pub fn calm_band(
    wish: &CalmWish,
    resonators: usize,
    notches: usize,
    trade: CalmTrade,
) -> Result<CalmBand, CalmRefused> {
    refuse_nonsense(wish, resonators, notches)?;
    let problem = problem_of(wish, resonators, notches, trade);
    let mut surveys = 0;
    let mut looked: Vec<Lowest> = starts(wish, &problem, resonators, notches)
        .iter()
        .filter_map(|s| minimax(&problem, s, FIRST_LOOK))
        .inspect(|l| surveys += l.surveys)
        .collect();
    looked.sort_by(|a, b| a.value.total_cmp(&b.value));
    let best = looked
        .iter()
        .take(2)
        .filter_map(|l| minimax(&problem, &l.x, POLISH))
        .inspect(|l| surveys += l.surveys)
        .min_by(|a, b| a.value.total_cmp(&b.value));
    let best = best.ok_or(CalmRefused::Figure {
        what: "nearest offset in units of the pitch",
        found: nearest_offset(wish) / wish.pitch.0,
        allowed: "0.01 to 2",
    })?;
    let sections = sections_of(&best.x[1..], wish.pitch, resonators, notches);
    Ok(judge(wish, sections, surveys))
}

/// The search begun from sections that serve a like wish, and polished only.
///
/// # Errors
/// As [`calm_band`].
pub fn calm_band_near(
    wish: &CalmWish,
    sections: &[Section],
    trade: CalmTrade,
) -> Result<CalmBand, CalmRefused> {
    let (x, notches) = numbers_of(sections, wish.pitch);
    refuse_nonsense(wish, sections.len(), notches)?;
    let problem = problem_of(wish, sections.len(), notches, trade);
    // as far as the trade has to be pushed for the worst of the wishes
    let start =
        |push: f64| -> Vec<f64> { std::iter::once(push).chain(x.iter().copied()).collect() };
    let push = minimax(&problem, &start(0.0), 1).map_or(0.0, |l| l.value / PENALTY);
    match minimax(&problem, &start(push), POLISH) {
        Some(best) => {
            let sections = sections_of(&best.x[1..], wish.pitch, sections.len(), notches);
            Ok(judge(wish, sections, best.surveys + 1))
        }
        None => Ok(judge(wish, sections.to_vec(), 0)),
    }
}

fn refuse_nonsense(wish: &CalmWish, resonators: usize, notches: usize) -> Result<(), CalmRefused> {
    if wish.neighbours.is_empty() {
        return Err(CalmRefused::NoNeighbour);
    }
    let from = (2 * notches + 1).max(2);
    if !(from..=MOST_RESONATORS).contains(&resonators) {
        return Err(CalmRefused::Resonators {
            resonators,
            from,
            to: MOST_RESONATORS,
        });
    }
    let within = |what, found: f64, range: std::ops::RangeInclusive<f64>, allowed| {
        if range.contains(&found) {
            Ok(())
        } else {
            Err(CalmRefused::Figure {
                what,
                found,
                allowed,
            })
        }
    };
    within("pitch", wish.pitch.0, 20.0..=20_000.0, "20 Hz to 20 kHz")?;
    within(
        "width",
        wish.width.0 / wish.pitch.0,
        0.001..=3.0,
        "0.1 % to 300 % of the pitch",
    )?;
    within(
        "tail",
        wish.tail.0 * wish.pitch.0,
        0.1..=10_000.0,
        "a tenth to ten thousand periods of the pitch",
    )?;
    within("tail level", wish.tail_level.0, 6.0..=80.0, "6 dB to 80 dB")?;
    within("fall per tail", wish.falling.0, 0.0..=30.0, "0 dB to 30 dB")?;
    within(
        "peak over the pitch",
        wish.peak_over_pitch.0,
        0.01..=6.0,
        "0.01 dB to 6 dB",
    )?;
    for n in &wish.neighbours {
        within(
            "rejection of a neighbour",
            n.down.0,
            0.5..=80.0,
            "0.5 dB to 80 dB",
        )?;
        within(
            "offset of a neighbour in units of the pitch",
            n.offset.0.abs() / wish.pitch.0,
            0.01..=20.0,
            "0.01 to 20",
        )?;
        within(
            "frequency of a neighbour in units of the pitch",
            (wish.pitch.0 + n.offset.0).abs() / wish.pitch.0,
            0.01..=21.0,
            "0.01 to 21",
        )?;
    }
    Ok(())
}

/// Frequency of a neighbour in units of the pitch; one below zero folds up again.
fn place_of(wish: &CalmWish, n: &Neighbour) -> f64 {
    ((wish.pitch.0 + n.offset.0) / wish.pitch.0).abs()
}

fn nearest_offset(wish: &CalmWish) -> f64 {
    wish.neighbours
        .iter()
        .map(|n| n.offset.0.abs())
        .fold(f64::INFINITY, f64::min)
}

fn problem_of(wish: &CalmWish, resonators: usize, notches: usize, trade: CalmTrade) -> CalmProblem {
    let per_second = std::f64::consts::TAU * wish.pitch.0;
    let slopes = match trade {
        CalmTrade::LeastTail => Slopes {
            tail: 1.0,
            rejection: 0.0,
            width: 0.0,
        },
        CalmTrade::MostRejection => Slopes {
            tail: 0.0,
            rejection: 1.0,
            width: 0.0,
        },
        CalmTrade::Balanced => Slopes {
            tail: EASE,
            rejection: 1.0,
            width: EASE,
        },
    };
    CalmProblem {
        plant: Plant::Band {
            resonators,
            notches,
        },
        stops: wish
            .neighbours
            .iter()
            .map(|n| {
                let omega = place_of(wish, n);
                StopEdge {
                    omega,
                    under: -n.down.0 * NEPERS - HAIR,
                    upward: omega > 1.0,
                }
            })
            .collect(),
        level: 10.0_f64.powf(-wish.tail_level.0 / 20.0) * (1.0 - HAIR),
        fall: wish.falling.0 * NEPERS,
        tail: wish.tail.0 * per_second,
        width: Some((wish.width.0 / wish.pitch.0 * (1.0 + HAIR), 6.0 * NEPERS)),
        peak: Some(wish.peak_over_pitch.0 * NEPERS - HAIR),
        slopes,
        penalty: PENALTY,
    }
}

/// Low-pass equivalents carried to the pitch, each as the free numbers of the problem.
fn starts(
    wish: &CalmWish,
    problem: &CalmProblem,
    resonators: usize,
    notches: usize,
) -> Vec<Vec<f64>> {
    let strictest = wish.neighbours.iter().map(|n| n.down.0).fold(0.0, f64::max);
    let mut known: Vec<&Found> = FOUND
        .iter()
        .filter(|f| f.resonators() == resonators && f.nulls.len() == notches)
        .collect();
    known.sort_by(|a, b| {
        let far = |f: &Found| (f.rejection_db - strictest).abs() + (f.tail_db - 30.0).abs() * 0.01;
        far(a).total_cmp(&far(b))
    });
    known
        .iter()
        .take(2)
        .flat_map(|f| [1.0, 0.9, 0.8, 0.65].map(|scale| start_of(wish, problem, f, scale)))
        .flatten()
        .collect()
}

fn start_of(wish: &CalmWish, problem: &CalmProblem, found: &Found, scale: f64) -> Option<Vec<f64>> {
    let poles = found.prototype();
    let zeros: Vec<num_complex::Complex64> = found
        .nulls
        .iter()
        .flat_map(|z| [*z, -*z].map(|w| num_complex::Complex64::new(0.0, w)))
        .collect();
    let low_pass = Rational::new(poles.poles(), zeros, 0.0);
    // Full relative width per rad/s of the equivalent, so that every neighbour is down.
    let relative = wish
        .neighbours
        .iter()
        .map(|n| {
            let f = place_of(wish, n);
            // Nulls make the stop band return to the rejection searched for: asked for more,
            // the equivalent would only give it far out.
            let down = n.down.0.min(0.999 * found.rejection_db);
            (f - 1.0 / f).abs() / stop_from(&low_pass, down)
        })
        .fold(f64::INFINITY, f64::min)
        * scale;
    let made = crate::bandpass::resonators(&poles, Hertz(1.0), Hertz(relative));
    let mut x = vec![0.0];
    for r in &made {
        x.extend([r.f0.0.ln(), r.q.max(0.52).ln()]);
    }
    let up = |z: &f64| (0.5 * z * relative).asinh();
    x.extend(found.nulls.iter().map(|z| -up(z)));
    x.extend(found.nulls.iter().map(up));
    let filter = problem.plant.build(&x[1..])?;
    if problem.slopes.tail > 0.0 {
        let tail = filter.keyed().tail(problem.level);
        x[0] = (tail / problem.tail).max(1e-3).ln() / problem.slopes.tail;
    }
    Some(x)
}

/// The plant's numbers as sections at the pitch, nulls given to the outermost resonators.
fn sections_of(x: &[f64], pitch: Hertz, resonators: usize, notches: usize) -> Vec<Section> {
    let (poles, nulls) = x.split_at(2 * resonators);
    let mut sections: Vec<Section> = poles
        .chunks(2)
        .map(|p| Section {
            shape: Shape::BandPass,
            f0: Hertz(p[0].exp() * pitch.0),
            q: p[1].exp(),
        })
        .collect();
    sections.sort_by(|a, b| a.f0.0.total_cmp(&b.f0.0));
    let mut zeros: Vec<f64> = nulls.iter().map(|a| a.exp() * pitch.0).collect();
    zeros.sort_by(f64::total_cmp);
    for k in 0..notches {
        sections[k].shape = Shape::Notch {
            zero: Hertz(zeros[k]),
        };
        sections[resonators - 1 - k].shape = Shape::Notch {
            zero: Hertz(zeros[2 * notches - 1 - k]),
        };
    }
    sections
}

/// The sections as the plant's numbers, and how many pairs of nulls are among them.
fn numbers_of(sections: &[Section], pitch: Hertz) -> (Vec<f64>, usize) {
    let mut x: Vec<f64> = sections
        .iter()
        .flat_map(|s| [(s.f0.0 / pitch.0).ln(), s.q.ln()])
        .collect();
    let mut nulls: Vec<f64> = sections
        .iter()
        .filter_map(|s| match s.shape {
            Shape::Notch { zero } => Some((zero.0 / pitch.0).ln()),
            _ => None,
        })
        .collect();
    nulls.sort_by(f64::total_cmp);
    let pairs = nulls.len() / 2;
    x.extend(nulls);
    (x, pairs)
}

fn judge(wish: &CalmWish, sections: Vec<Section>, surveys: usize) -> CalmBand {
    let response = BandResponse::new(&sections, wish.pitch);
    let neighbours: Vec<Decibels> = wish
        .neighbours
        .iter()
        .map(|n| response.neighbour_down(n.offset))
        .collect();
    CalmBand {
        bound: CalmBound::of(&wish.neighbours, &neighbours),
        neighbours,
        width: response.width(Decibels(6.0)),
        tail: response.tail(wish.tail_level),
        tail_40: response.tail(Decibels(40.0)),
        peak_over_pitch: response.peak_over_pitch(),
        surveys,
        sections,
    }
}

impl CalmBound {
    /// The bound from the pair of neighbours, one a side, that says most, given how far each
    /// is down; `None` when they do not stand on both sides.
    #[must_use]
    pub fn of(neighbours: &[Neighbour], reached: &[Decibels]) -> Option<Self> {
        let side = |up: bool| {
            neighbours
                .iter()
                .zip(reached)
                .filter(move |(n, _)| (n.offset.0 > 0.0) == up)
                .map(|(n, down)| (n.offset.0.abs(), down.0))
        };
        let mut strictest: Option<Self> = None;
        for (above, down_above) in side(true) {
            for (below, down_below) in side(false) {
                let offset = above.max(below);
                let down = down_above.min(down_below);
                if down <= 0.0 {
                    continue;
                }
                let memory = Seconds(memory_bound(down) / offset);
                if strictest.is_none_or(|s| memory.0 > s.memory.0) {
                    strictest = Some(Self {
                        memory,
                        linear: linear_bound(down).map(|d| Seconds(d / offset)),
                    });
                }
            }
        }
        strictest
    }
}
