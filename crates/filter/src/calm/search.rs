//! What a calm filter is asked for, as the pieces of a minimax problem.
//!
//! Variables: `x_0`, how far the trade is pushed, then the plant's own. The wishes are
//! `T = T_w e^{k_t x_0}` for the tail, `R − k_r x_0` nepers for the rejection and `W
//! e^{−k_w x_0}` for the width; the [`Slopes`] say which wish gives way. Minimised is
//! `max(x_0, x_0 + ν c_j)`, an exact penalty, over every broken wish `c_j` in nepers:
//! the envelope at `T` and at each later lobe, the response at each neighbour and at
//! each lobe beyond it, the width, the peak above the tone. So the jump that the last
//! crossing makes when a lobe rises through the level never meets the optimiser.

use numeric::{Pieces, golden_minimum};

use super::plant::Plant;
use crate::bandpass::{KeyedTone, Rational};

/// Nepers in a decibel.
pub(crate) const NEPERS: f64 = std::f64::consts::LN_10 / 20.0;

/// A signal to be kept down from `omega` outwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StopEdge {
    /// Where it begins, rad per unit of time.
    pub(crate) omega: f64,
    /// Level to stay under, nepers above the tone (negative).
    pub(crate) under: f64,
    /// Outwards is towards higher frequencies.
    pub(crate) upward: bool,
}

/// Which wish gives way as `x_0` grows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Slopes {
    pub(crate) tail: f64,
    pub(crate) rejection: f64,
    pub(crate) width: f64,
}

/// The problem handed to the minimax search.
#[derive(Debug, Clone)]
pub(crate) struct CalmProblem {
    pub(crate) plant: Plant,
    pub(crate) stops: Vec<StopEdge>,
    /// Envelope level that ends the tail, a ratio.
    pub(crate) level: f64,
    /// How fast the level goes on falling after that, nepers per tail; zero for level.
    pub(crate) fall: f64,
    /// Tail wished, in the plant's unit of time.
    pub(crate) tail: f64,
    /// Full width wished and how far below the peak (nepers), if any.
    pub(crate) width: Option<(f64, f64)>,
    /// How far the peak may stand above the tone, nepers, if limited.
    pub(crate) peak: Option<f64>,
    pub(crate) slopes: Slopes,
    /// Penalty on a neper of broken wish.
    pub(crate) penalty: f64,
}

/// Where a piece is looked at.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Place {
    Trade,
    /// At the end of the tail.
    TailEnd,
    /// A later lobe of the envelope, at this time.
    Lobe(f64),
    /// A frequency, and the level wished there.
    Stop(f64, f64),
    Width,
    Peak(f64),
}

/// Pieces further than this below the greatest broken wish are left out, nepers.
const NEARBY: f64 = 0.9;

/// A little ripple buys much width, so breaking the limit on it must cost more.
const PEAK_WEIGHT: f64 = 8.0;

/// More pieces than this, the greatest first, are not told apart: there are never more
/// active ones than free numbers, and the ripple at twice the pitch makes many.
const MOST_PIECES: usize = 14;

/// A falling level is held to until this many tails after key-up.
const FALL_HELD_FOR: f64 = 3.0;

impl CalmProblem {
    /// The end of the tail for a given `x_0`.
    fn tail_end(&self, x0: f64) -> f64 {
        self.tail * (self.slopes.tail * x0).exp()
    }

    fn penalised(&self, x0: f64, broken: f64) -> f64 {
        x0 + self.penalty * broken
    }

    fn envelope_over(&self, keyed: &KeyedTone, t: f64) -> f64 {
        0.5 * keyed.at(t).norm_sqr().max(1e-300).ln() - self.level.ln()
    }

    /// How far the envelope at `t` stands over what is allowed there, nepers.
    fn lobe_over(&self, keyed: &KeyedTone, t: f64, tail: f64) -> f64 {
        self.envelope_over(keyed, t) + self.fall * (t / tail - 1.0)
    }

    /// Lobes after the tail, seen through the falling level.
    fn lobes(&self, keyed: &KeyedTone, tail: f64, found: &mut Vec<(Place, f64)>) {
        let end = if self.fall > 0.0 {
            FALL_HELD_FOR * tail
        } else {
            keyed.quiet_after(0.4 * self.level)
        };
        if end <= tail {
            return;
        }
        let count = ((end - tail) / keyed.interval())
            .ceil()
            .clamp(8.0, 20_000.0) as usize;
        let h = (end - tail) / count as f64;
        let late = keyed.later(tail).tilted(self.fall / tail);
        let power: Vec<f64> = late
            .grid(h, count + 2)
            .iter()
            .map(num_complex::Complex64::norm_sqr)
            .collect();
        let floor = (0.3 * self.level).powi(2);
        for i in 1..=count {
            if power[i] < floor || power[i] < power[i - 1] || power[i] <= power[i + 1] {
                continue;
            }
            let before = (i - 1) as f64 * h;
            let t = tail + late.lobe_peak(before, before + 2.0 * h);
            found.push((Place::Lobe(t), self.lobe_over(keyed, t, tail)));
        }
        if self.fall > 0.0 {
            found.push((Place::Lobe(end), self.lobe_over(keyed, end, tail)));
        }
    }

    /// Pieces of one side: each edge, and each lobe beyond the innermost.
    fn skirts(&self, rational: &Rational, upward: bool, found: &mut Vec<(Place, f64)>) {
        let edges = || self.stops.iter().filter(|s| s.upward == upward);
        for s in edges() {
            found.push((
                Place::Stop(s.omega, s.under),
                rational.level(s.omega) - s.under,
            ));
        }
        let further = |a: f64, b: f64| if upward { a >= b } else { a <= b };
        let wished = |omega: f64| {
            edges()
                .filter(|s| further(omega, s.omega))
                .map(|s| s.under)
                .fold(f64::INFINITY, f64::min)
        };
        let Some(start) = edges()
            .map(|s| s.omega)
            .reduce(|a, b| if further(b, a) { a } else { b })
        else {
            return;
        };
        let place = outward(rational.tone(), start, upward);
        let level: Vec<f64> = place.iter().map(|w| rational.level(*w)).collect();
        for i in 1..place.len().saturating_sub(1) {
            if level[i] > level[i - 1] && level[i] >= level[i + 1] {
                let omega = crest(rational, place[i - 1], place[i + 1]);
                let under = wished(omega);
                found.push((Place::Stop(omega, under), rational.level(omega) - under));
            }
        }
    }

    fn width_short(&self, rational: &Rational, x0: f64) -> f64 {
        let Some((width, below)) = self.width else {
            return f64::NEG_INFINITY;
        };
        let wished = width * (-self.slopes.width * x0).exp();
        let top = summit(rational);
        let floor = rational.level(top) - below;
        let span = [-1.0, 1.0].map(|side| edge(rational, top, side * wished, floor));
        wished.ln() - (span[1] - span[0]).max(1e-12).ln()
    }

    fn peak_over(&self, rational: &Rational, omega: f64) -> f64 {
        PEAK_WEIGHT * (rational.level(omega) - self.peak.unwrap_or(f64::INFINITY))
    }
}

impl Pieces for CalmProblem {
    type Place = Place;

    fn survey(&self, x: &[f64]) -> Option<Vec<(Place, f64)>> {
        let x0 = x[0];
        let rational = self.plant.build(&x[1..])?;
        let keyed = rational.keyed();
        let end = self.tail_end(x0);
        let mut found = vec![(Place::TailEnd, self.envelope_over(&keyed, end))];
        self.lobes(&keyed, end, &mut found);
        let give = self.slopes.rejection * x0;
        let before = found.len();
        self.skirts(&rational, true, &mut found);
        if rational.tone() > 0.0 {
            self.skirts(&rational, false, &mut found);
        }
        for (_, broken) in &mut found[before..] {
            *broken -= give;
        }
        if self.width.is_some() {
            found.push((Place::Width, self.width_short(&rational, x0)));
            if self.peak.is_some() {
                let top = summit(&rational);
                found.push((Place::Peak(top), self.peak_over(&rational, top)));
            }
        }
        let worst = found
            .iter()
            .map(|(_, c)| *c)
            .fold(f64::NEG_INFINITY, f64::max)
            .max(0.0);
        if !worst.is_finite() {
            return None;
        }
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut pieces = vec![(Place::Trade, x0)];
        pieces.extend(
            found
                .into_iter()
                .filter(|(_, c)| *c > worst - NEARBY)
                .take(MOST_PIECES)
                .map(|(p, c)| (p, self.penalised(x0, c))),
        );
        Some(pieces)
    }

    fn values(&self, x: &[f64], places: &[Place]) -> Option<Vec<f64>> {
        let x0 = x[0];
        let rational = self.plant.build(&x[1..])?;
        let keyed = rational.keyed();
        let give = self.slopes.rejection * x0;
        Some(
            places
                .iter()
                .map(|place| match *place {
                    Place::Trade => x0,
                    Place::TailEnd => {
                        self.penalised(x0, self.envelope_over(&keyed, self.tail_end(x0)))
                    }
                    Place::Lobe(t) => {
                        let tail = self.tail_end(x0);
                        self.penalised(x0, self.lobe_over(&keyed, t, tail))
                    }
                    Place::Stop(omega, under) => {
                        self.penalised(x0, rational.level(omega) - under - give)
                    }
                    Place::Width => self.penalised(x0, self.width_short(&rational, x0)),
                    Place::Peak(omega) => self.penalised(x0, self.peak_over(&rational, omega)),
                })
                .collect(),
        )
    }
}

/// Frequencies from `start` away from the tone, the lower side mirrored geometrically.
fn outward(tone: f64, start: f64, upward: bool) -> Vec<f64> {
    let first = if upward { start } else { tone * tone / start };
    let mut distance = first - tone;
    let mut place = Vec::with_capacity(80);
    while distance < 60.0 * first && place.len() < 120 {
        let omega = tone + distance;
        place.push(if upward { omega } else { tone * tone / omega });
        distance *= 1.08;
    }
    place
}

/// The highest point between two frequencies.
fn crest(rational: &Rational, a: f64, b: f64) -> f64 {
    golden_minimum(|w| -rational.level(w), a, b, 22).0
}

/// The highest point: a look at the tone and around every pole, then golden section.
fn summit(rational: &Rational) -> f64 {
    let mut place = Vec::with_capacity(5 * rational.poles().len() / 2 + 3);
    for p in rational.poles().iter().filter(|p| p.im > 0.0) {
        for beside in [-1.0, -0.5, 0.0, 0.5, 1.0] {
            place.push((p.im + beside * p.re).max(0.1 * p.im));
        }
    }
    place.push(rational.tone());
    place.sort_by(f64::total_cmp);
    place.insert(0, 0.7 * place[0]);
    place.push(1.4 * place[place.len() - 1]);
    let best = (1..place.len() - 1)
        .max_by(|&a, &b| {
            rational
                .level(place[a])
                .total_cmp(&rational.level(place[b]))
        })
        .unwrap_or(1);
    crest(rational, place[best - 1], place[best + 1])
}

/// Where the response falls through `floor`, from `top` by steps towards `reach`.
fn edge(rational: &Rational, top: f64, reach: f64, floor: f64) -> f64 {
    let limit = |w: f64| w.max(1e-3 * top);
    let mut inside = top;
    let mut step = 0.1 * reach;
    let mut outside = limit(top + step);
    for _ in 0..80 {
        if rational.level(outside) <= floor {
            break;
        }
        inside = outside;
        step *= 1.1;
        outside = limit(outside + step);
    }
    for _ in 0..44 {
        let middle = 0.5 * (inside + outside);
        if rational.level(middle) > floor {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    0.5 * (inside + outside)
}
