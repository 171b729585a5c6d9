//! What stands before the first stage: bleed resistor, radio-frequency stopper, attenuator
//! where one is needed, coupling capacitor, bias and buffer where they are needed.
//!
//! ```text
//! in ─┬─ 1k ─ top ─┬──┬─┤├──┬── [buffer] ── first stage
//!     █ bleed      ╪  █     █ bias
//!     0          1n 0 0    mid
//! ```
//!
//! The attenuator's bottom goes to 0 V, not to the mid-supply node, which would pass the
//! unfiltered signal on to every stage. What drives the first stage is the source behind
//! these dividers (Thévenin): a voltage ratio and a resistance, by which the first stage's
//! input resistor is reduced.

use super::standard::{RADIO, STOPPER, coupling};
use crate::topology::{Board, Odd};
use circuit::NodeId;
use std::f64::consts::TAU;

/// Corner of the input's coupling capacitor, as a part of the pitch. A reactance of x times
/// the first stage's input resistor R moves Q by `2Q·S(ω0; R)·x`: where that factor is
/// above 1 the corner is lower by it.
const CORNER: f64 = 1.0 / 100.0;

/// Ratio from which on no attenuator is worth its parts (0.3 dB).
const NO_ATTENUATOR: f64 = 0.97;

/// Bottom resistors of an attenuator, ohm: they bound the resistance the stage sees.
const ATTENUATOR: std::ops::RangeInclusive<f64> = 680.0..=10e3;

/// Path for direct voltage where the first stage wants one, ohm.
const BIAS_PATH: f64 = 100e3;

/// The parts before the first stage, ohm.
#[derive(Debug, Clone, PartialEq)]
pub struct Entrance {
    /// From the input to 0 V, so that switching does not pop.
    pub bleed: f64,
    /// Keeps direct voltage apart.
    pub coupling: Odd,
    /// In series, with 1 nF behind it.
    pub stopper: f64,
    /// Top of the attenuator, if there is one.
    pub top: Option<f64>,
    /// Bottom of the attenuator, to 0 V.
    pub bottom: Option<f64>,
    /// From the coupled signal to mid-supply, where the first amplifier gets no direct
    /// voltage otherwise.
    pub bias: Option<f64>,
    /// Whether a follower stands before the first stage.
    pub buffered: bool,
}

impl Entrance {
    /// An entrance for a source of that resistance (ohm). A `ratio` under 1 asks for an
    /// attenuator of these resistors (ohm); `biased` for a path for direct voltage.
    #[must_use]
    pub fn new(source: f64, ratio: f64, biased: bool, buffered: bool, resistors: &[f64]) -> Self {
        let plain = Entrance {
            bleed: if source > 2e3 { 1e6 } else { 100e3 },
            coupling: coupling(0.0),
            stopper: STOPPER,
            top: None,
            bottom: None,
            bias: (biased || buffered).then_some(BIAS_PATH),
            buffered,
        };
        if ratio > NO_ATTENUATOR {
            return plain;
        }
        let bottoms = resistors.iter().filter(|r| ATTENUATOR.contains(r));
        let pads = bottoms.map(|&bottom| plain.with_pad(bottom, source, ratio, resistors));
        let off = |pad: &Entrance| (pad.thevenin(source).0 / ratio).ln().abs();
        pads.min_by(|a, b| off(a).total_cmp(&off(b)))
            .unwrap_or(plain)
    }

    /// The same with an attenuator of that bottom resistor and the best top for the ratio.
    fn with_pad(&self, bottom: f64, source: f64, ratio: f64, resistors: &[f64]) -> Self {
        let mut pad = self.clone();
        pad.bottom = Some(bottom);
        let wanted = bottom / ratio - bottom - source - self.stopper;
        let off = |r: &&f64| (**r - wanted).abs();
        let nearest = resistors.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        // no top at all may be nearer than the smallest resistor
        pad.top = nearest
            .copied()
            .filter(|top| (top - wanted).abs() < wanted.abs());
        pad
    }

    /// Chooses the coupling capacitor for a first stage that takes that resistance (ohm);
    /// `touchy` says how many times a reactance there counts in Q.
    #[must_use]
    pub fn coupled(mut self, source: f64, stage: f64, touchy: f64, pitch: f64) -> Self {
        let below = self.bias.map_or(stage, |b| 1.0 / (1.0 / b + 1.0 / stage));
        let through = self.behind_attenuator(source).1 + below;
        self.coupling = coupling(touchy.max(1.0) / (TAU * CORNER * pitch * through));
        self
    }

    /// Its resistors, ohm.
    #[must_use]
    pub(super) fn resistors(&self) -> Vec<f64> {
        let odd = [self.top, self.bottom, self.bias];
        let always = [self.bleed, self.stopper];
        always
            .into_iter()
            .chain(odd.into_iter().flatten())
            .collect()
    }

    /// Voltage ratio and resistance (ohm) that the first stage sees, for that source.
    #[must_use]
    pub fn thevenin(&self, source: f64) -> (f64, f64) {
        let (ratio, above) = self.behind_attenuator(source);
        across(ratio, above, self.bias)
    }

    fn behind_attenuator(&self, source: f64) -> (f64, f64) {
        let (bled, resistance) = across(1.0, source, Some(self.bleed));
        let above = resistance + self.stopper + self.top.unwrap_or(0.0);
        across(bled, above, self.bottom)
    }

    /// Puts the parts on the board; gives the node that drives the first stage.
    pub(crate) fn draw(&self, board: &mut Board, input: NodeId, mid: NodeId) -> NodeId {
        board.begin("input");
        let ground = NodeId::GROUND;
        let mut quiet = board.circuit.node("quiet");
        board.resistor(self.bleed, [input, ground], "bleed");
        board.resistor(self.stopper, [input, quiet], "radio-frequency stopper");
        board.odd_capacitor(RADIO, [quiet, ground], "radio-frequency bypass");
        if let Some(top) = self.top {
            let below = board.circuit.node("pad");
            board.resistor(top, [quiet, below], "attenuator, top");
            quiet = below;
        }
        if let Some(bottom) = self.bottom {
            board.resistor(bottom, [quiet, ground], "attenuator, bottom");
        }
        let coupled = board.circuit.node("coupled");
        // of a polarised one the inner side is positive: it stands at mid-supply
        board.odd_capacitor(self.coupling, [coupled, quiet], "coupling");
        if let Some(bias) = self.bias {
            board.resistor(bias, [coupled, mid], "bias");
        }
        if !self.buffered {
            return coupled;
        }
        let out = board.circuit.node("buffered");
        board.amplifier(coupled, out, out, "buffer");
        out
    }
}

/// Ratio and resistance of a driver once a resistor stands across it.
fn across(ratio: f64, resistance: f64, shunt: Option<f64>) -> (f64, f64) {
    shunt.map_or((ratio, resistance), |shunt| {
        let share = shunt / (shunt + resistance);
        (ratio * share, resistance * share)
    })
}
