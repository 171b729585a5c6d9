//! How loud each amplifier's output gets, and at what input it gives up.

use super::response::decibels;
use super::{Curve, Study};
use crate::{Element, NodeId};
use std::f64::consts::TAU;

/// Gain to one amplifier's output.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageLevel {
    /// Index of the amplifier among the parts.
    pub part: usize,
    /// Its output node.
    pub node: NodeId,
    /// Gain at the pitch, dB.
    pub gain_at_pitch_db: f64,
    /// Greatest gain from 20 Hz to 20 kHz, dB.
    pub peak_gain_db: f64,
    /// Where that is, Hz.
    pub peak_gain_hz: f64,
}

/// The open-circuit source voltage at which something gives up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InputLimit {
    /// For a tone at the pitch, V peak; infinite when none of it reaches an amplifier.
    pub at_pitch: f64,
    /// For the worst tone, V peak.
    pub worst: f64,
    /// Which tone that is, Hz.
    pub worst_hz: f64,
    /// Index of the amplifier that gives up first at the worst tone.
    pub part: usize,
}

/// The level figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// Every amplifier, in the order of the parts.
    pub stages: Vec<StageLevel>,
    /// Where an output first reaches a rail's limit; `None` when no swing is limited.
    pub clips_at_input_v_peak: Option<InputLimit>,
    /// Where an output first has to move faster than it can; `None` when none is limited.
    pub slews_at_input_v_peak: Option<InputLimit>,
}

impl Levels {
    /// Whether a tone of `input_v_peak` of any pitch asks no amplifier to move faster than it can.
    #[must_use]
    pub fn slew_ok(&self, input_v_peak: f64) -> bool {
        self.slews_at_input_v_peak
            .is_none_or(|limit| limit.worst >= input_v_peak)
    }
}

/// One amplifier's curve and limits.
struct Stage {
    part: usize,
    node: NodeId,
    slew_v_per_s: f64,
    curve: Curve,
    at_pitch: f64,
}

impl Study<'_> {
    /// The level figures for a listener at `pitch_hz`. `swing_v_peak(part)` says how far the
    /// output of that amplifier can go from its rest before the nearer limit; infinite for the
    /// textbook amplifier.
    pub fn levels(&mut self, pitch_hz: f64, swing_v_peak: impl Fn(usize) -> f64) -> Levels {
        let stages = self.stages(pitch_hz);
        let mut levels = Vec::new();
        let mut clips = Worst::default();
        let mut slews = Worst::default();
        for stage in &stages {
            let node = stage.node;
            let (peak_hz, peak) = stage.curve.peak(|f| self.gain_to(node, f).norm_sqr());
            levels.push(StageLevel {
                part: stage.part,
                node,
                gain_at_pitch_db: decibels(stage.at_pitch),
                peak_gain_db: decibels(peak),
                peak_gain_hz: peak_hz,
            });
            let swing = swing_v_peak(stage.part);
            clips.note(stage, swing, stage.at_pitch, (peak_hz, peak));
            // Speed of a sine: its amplitude times ω.
            let squared = |f: f64| (TAU * f).powi(2);
            let speed = Curve {
                f_hz: stage.curve.f_hz.clone(),
                power: stage
                    .curve
                    .f_hz
                    .iter()
                    .zip(&stage.curve.power)
                    .map(|(&f, p)| p * squared(f))
                    .collect(),
            };
            let fastest = speed.peak(|f| self.gain_to(node, f).norm_sqr() * squared(f));
            let at_pitch = stage.at_pitch * squared(pitch_hz);
            slews.note(stage, stage.slew_v_per_s, at_pitch, fastest);
        }
        Levels {
            stages: levels,
            clips_at_input_v_peak: clips.limit,
            slews_at_input_v_peak: slews.limit,
        }
    }

    /// The curve of every amplifier's output, from one sweep.
    fn stages(&mut self, pitch_hz: f64) -> Vec<Stage> {
        let circuit = self.circuit();
        let f_hz = Curve::frequencies(self.poles(), &[pitch_hz]);
        let mut stages: Vec<Stage> = circuit
            .parts
            .iter()
            .enumerate()
            .filter_map(|(part, p)| match &p.element {
                Element::Opamp(opamp) => Some((part, opamp)),
                _ => None,
            })
            .map(|(part, opamp)| Stage {
                part,
                node: opamp.out,
                slew_v_per_s: opamp.model.slew_v_per_s,
                curve: Curve {
                    f_hz: f_hz.clone(),
                    power: Vec::with_capacity(f_hz.len()),
                },
                at_pitch: 0.0,
            })
            .collect();
        let places: Vec<Option<usize>> = stages
            .iter()
            .map(|s| self.system().voltage(s.node))
            .collect();
        for &f in &f_hz {
            self.factor(f);
            let x = self.solver().forward();
            for (stage, place) in stages.iter_mut().zip(&places) {
                let power = place.map_or(0.0, |index| x[index].norm_sqr());
                stage.curve.power.push(power);
            }
        }
        for stage in &mut stages {
            stage.at_pitch = self.gain_to(stage.node, pitch_hz).norm_sqr();
        }
        stages
    }
}

/// The lowest input limit met so far.
#[derive(Default)]
struct Worst {
    limit: Option<InputLimit>,
}

impl Worst {
    /// Notes an amplifier whose output may reach `most` and has these powers for 1 V.
    fn note(&mut self, stage: &Stage, most: f64, at_pitch: f64, (hz, power): (f64, f64)) {
        if !most.is_finite() || power == 0.0 {
            return;
        }
        let most = most.max(0.0);
        let here = InputLimit {
            at_pitch: most / at_pitch.sqrt(),
            worst: most / power.sqrt(),
            worst_hz: hz,
            part: stage.part,
        };
        let limit = self.limit.get_or_insert(here);
        let at_pitch = limit.at_pitch.min(here.at_pitch);
        if here.worst < limit.worst {
            *limit = here;
        }
        limit.at_pitch = at_pitch;
    }
}
