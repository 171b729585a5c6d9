//! The order of the stages and the gain of each, by trying them all.
//!
//! For every order (n! of them, n ≤ 6) and every way to split the gain the level at each
//! stage's output follows from products of the sections' responses, relative to the level
//! at the end at the pitch. Gains are split so that the partial product up to each stage
//! peaks at the same level, taken over the passband ([`Split::Passband`]), over passband
//! and neighbours ([`Split::Strongest`]), or so that each stage is at that level at the
//! pitch ([`Split::Pitch`]). Stages bound to a gain by their Q keep it.
//!
//! Chosen is the line with the least greatest level of a neighbour or the passband at any
//! node — the most headroom for the strongest signal, wherever it sits; lines within
//! 0.5 dB of it are told apart by an estimate of their hiss: each stage makes
//! `1 + (2Q²)²|Hk|²/Gk²` (op-amp noise times the noise gain of a resonator, common
//! practice) which the stages behind it filter. The estimate only ranks; the hiss itself is
//! computed on the circuit. A stage that wants a stiff driver costs a buffer when it comes
//! first: it does so only where that gains more than 6 dB of headroom.

use crate::topology::unit_transfer;
use crate::{Need, Section};
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Orders are tried exhaustively up to this many stages; beyond, the given order stands.
const MOST_STAGES: usize = 6;

/// Lines with headroom within this ratio (0.5 dB) of the best are told apart by hiss.
const NEAR: f64 = 1.06;

/// Headroom ratio (6 dB) worth a buffer.
const BUFFER: f64 = 2.0;

/// Points over the passband.
const PASSBAND_POINTS: usize = 17;

/// How the gain is split among the stages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Split {
    /// Every partial product peaks at the same level over the passband.
    Passband,
    /// Every partial product peaks at the same level over passband and neighbours.
    Strongest,
    /// Every partial product has the same level at the pitch.
    Pitch,
}

/// An order of the stages with their gains.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Index of the section that stands at each place, input first.
    pub sections: Vec<usize>,
    /// Gain of each stage (magnitude, of the unit-gain shape), input first.
    pub gains: Vec<f64>,
    /// How the gain was split.
    pub split: Split,
    /// Greatest level at any stage output, passband and neighbours, relative to the level
    /// at the end at the pitch.
    pub greatest: f64,
    /// Greatest level of a neighbour alone at any stage output, same reference.
    pub greatest_neighbour: f64,
    /// The estimate of hiss by which lines are ranked, no unit.
    pub hiss: f64,
}

/// What binds the stage of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ties {
    /// The gain it is bound to, if it has no choice.
    pub gain: Option<f64>,
    /// Whether it needs a buffer when it stands first.
    pub wants_driver: bool,
}

/// The best order and gains for these sections, each with its ties. The gains give `total` at the pitch where any is free.
#[must_use]
pub fn order(need: &Need, sections: &[Section], ties: &[Ties], total: f64) -> Line {
    let ground = Ground::new(need, sections, ties, total);
    let lines: Vec<Line> = permutations(sections.len())
        .into_iter()
        .flat_map(|order| {
            [Split::Passband, Split::Strongest, Split::Pitch]
                .map(|split| ground.line(&order, split))
        })
        .collect();
    let bare = |line: &Line| line.sections.first().is_some_and(|&k| ties[k].wants_driver);
    let least_of = |keep: &dyn Fn(&Line) -> bool| {
        let kept = lines.iter().filter(|line| keep(line));
        kept.map(|line| line.greatest).fold(f64::INFINITY, f64::min)
    };
    let all = least_of(&|_| true);
    let plain = least_of(&|line| !bare(line));
    let (least, spare_buffer) = if plain <= all * BUFFER {
        (plain, true)
    } else {
        (all, false)
    };
    let near = lines
        .iter()
        .filter(|line| line.greatest <= least * NEAR && !(spare_buffer && bare(line)));
    near.min_by(|a, b| a.hiss.total_cmp(&b.hiss))
        .cloned()
        .unwrap_or_else(|| ground.line(&[], Split::Pitch))
}

fn permutations(n: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    if n > MOST_STAGES {
        return vec![(0..n).collect()];
    }
    for _ in 0..n {
        all = all
            .into_iter()
            .flat_map(|start: Vec<usize>| {
                let rest = (0..n).filter({
                    let start = start.clone();
                    move |k| !start.contains(k)
                });
                rest.map(move |k| start.iter().copied().chain([k]).collect())
            })
            .collect();
    }
    all
}

/// What all lines share: the magnitudes of the sections where it matters.
struct Ground<'a> {
    sections: &'a [Section],
    ties: &'a [Ties],
    total: f64,
    /// `|H|` of each section, at unit gain: pitch, passband, neighbours.
    pitch: Vec<f64>,
    passband: Vec<Vec<f64>>,
    neighbours: Vec<Vec<f64>>,
}

impl<'a> Ground<'a> {
    fn new(need: &Need, sections: &'a [Section], ties: &'a [Ties], total: f64) -> Self {
        let pitch = need.listening.pitch.0;
        let half = need.listening.width.0 / 2.0;
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        let step = |i: usize| -1.0 + 2.0 * i as f64 / (PASSBAND_POINTS - 1) as f64;
        let passband = (0..PASSBAND_POINTS).map(|i| pitch + half * step(i));
        let neighbours = need.listening.neighbours.iter().map(|n| pitch + n.offset.0);
        let audible = |f: &f64| *f > 0.0;
        let (passband, neighbours): (Vec<f64>, Vec<f64>) = (
            passband.filter(audible).collect(),
            neighbours.filter(audible).collect(),
        );
        let magnitudes = |points: &[f64]| -> Vec<Vec<f64>> {
            let of = |section: &Section| points.iter().map(|&f| magnitude(section, f)).collect();
            sections.iter().map(of).collect()
        };
        Ground {
            sections,
            ties,
            total,
            pitch: sections.iter().map(|s| magnitude(s, pitch)).collect(),
            passband: magnitudes(&passband),
            neighbours: magnitudes(&neighbours),
        }
    }

    fn line(&self, order: &[usize], split: Split) -> Line {
        let gains = self.gains(order, split);
        let end = partial(order, &gains, |k| self.pitch[k]).max(f64::MIN_POSITIVE);
        let mut passband = 0.0_f64;
        let mut neighbour = 0.0_f64;
        for upto in 1..=order.len() {
            let (part, g) = (&order[..upto], &gains[..upto]);
            passband = passband.max(peak(part, g, &self.passband));
            neighbour = neighbour.max(peak(part, g, &self.neighbours));
        }
        Line {
            sections: order.to_vec(),
            hiss: self.hiss(order, &gains) / (end * end),
            gains,
            split,
            greatest: passband.max(neighbour) / end,
            greatest_neighbour: neighbour / end,
        }
    }

    /// Gains stage by stage: each brings the partial product to the total, the last free
    /// one makes the total right at the pitch.
    fn gains(&self, order: &[usize], split: Split) -> Vec<f64> {
        let mut gains: Vec<f64> = Vec::with_capacity(order.len());
        for (place, &k) in order.iter().enumerate() {
            let part = &order[..=place];
            gains.push(1.0);
            gains[place] = self.ties[k].gain.unwrap_or_else(|| {
                let now = match split {
                    Split::Pitch => partial(part, &gains, |k| self.pitch[k]),
                    Split::Passband => peak(part, &gains, &self.passband),
                    Split::Strongest => {
                        peak(part, &gains, &self.passband).max(peak(part, &gains, &self.neighbours))
                    }
                };
                self.total / now
            });
        }
        if let Some(last) = order.iter().rposition(|&k| self.ties[k].gain.is_none()) {
            gains[last] *= self.total / partial(order, &gains, |k| self.pitch[k]);
        }
        gains
    }

    /// See the top of the file; over the passband and the neighbours.
    fn hiss(&self, order: &[usize], gains: &[f64]) -> f64 {
        let at = |magnitude: &dyn Fn(usize) -> f64| -> f64 {
            let mut sum = 0.0;
            for (&k, &g) in order.iter().zip(gains) {
                let q = self.sections[k].q;
                let noise_gain = 2.0 * q * q * magnitude(k);
                sum = sum * (g * magnitude(k)).powi(2) + 1.0 + noise_gain * noise_gain;
            }
            sum
        };
        (0..PASSBAND_POINTS)
            .filter(|&i| self.passband.iter().all(|m| i < m.len()))
            .map(|i| at(&|k: usize| self.passband[k][i]))
            .sum()
    }
}

fn magnitude(section: &Section, f: f64) -> f64 {
    unit_transfer(section, Complex64::new(0.0, TAU * f)).norm()
}

fn partial(order: &[usize], gains: &[f64], magnitude: impl Fn(usize) -> f64) -> f64 {
    order
        .iter()
        .zip(gains)
        .map(|(&k, g)| g * magnitude(k))
        .product()
}

fn peak(order: &[usize], gains: &[f64], magnitudes: &[Vec<f64>]) -> f64 {
    let points = order.first().map_or(0, |&k| magnitudes[k].len());
    let levels = (0..points).map(|i| partial(order, gains, |k| magnitudes[k][i]));
    levels.fold(0.0, f64::max)
}
