//! What stands before the first stage: bleed resistor, coupling capacitor, radio-frequency
//! stopper, and where they are needed an attenuator and a buffer.
//!
//! ```text
//! in ─┬─┤├── 1k ──┬── top ──┬── [buffer] ── first stage
//!     █ bleed     ╪ 1n      █ bottom
//!     0           0        mid
//! ```
//!
//! What drives the first stage is the source, stopper and top in series, with the bottom
//! across: voltage ratio `bottom/(above + bottom)` and resistance `above ∥ bottom`
//! (Thévenin); the first stage's input resistor is reduced by it. The coupling capacitor's
//! corner is a twentieth of the pitch or lower: 0.01 dB.

use super::standard::{RADIO, STOPPER, coupling};
use crate::topology::{Board, Odd};
use circuit::NodeId;
use std::f64::consts::TAU;

/// Corner of the coupling capacitors, as a part of the pitch.
pub(crate) const CORNER: f64 = 1.0 / 20.0;

/// Bottom resistor where only a path for direct voltage is wanted, ohm.
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
    /// Bottom of the attenuator, or the path for direct voltage.
    pub bottom: Option<f64>,
    /// Whether a follower stands before the first stage.
    pub buffered: bool,
}

impl Entrance {
    /// An entrance for a source of that resistance (ohm). `ratio` under 1 asks for an
    /// attenuator; `biased` for a path for direct voltage.
    #[must_use]
    pub fn new(
        source: f64,
        ratio: f64,
        biased: bool,
        buffered: bool,
        pick: impl Fn(f64) -> f64,
    ) -> Self {
        let above = source + STOPPER;
        let mut entrance = Entrance {
            bleed: if source > 2e3 { 1e6 } else { 100e3 },
            coupling: coupling(0.0),
            stopper: STOPPER,
            top: None,
            bottom: (biased || buffered).then_some(BIAS_PATH),
            buffered,
        };
        if ratio < 0.97 {
            // an attenuator of about 10 kΩ from top to bottom
            let bottom = pick(10e3 * ratio);
            let top = bottom / ratio - bottom - above;
            entrance.top = (top > 0.0).then(|| pick(top));
            entrance.bottom = Some(if top > 0.0 {
                bottom
            } else {
                pick(above * ratio / (1.0 - ratio))
            });
        }
        entrance
    }

    /// Chooses the coupling capacitor for a first stage that takes that resistance (ohm).
    #[must_use]
    pub fn coupled(mut self, stage: f64, pitch: f64) -> Self {
        let below = self.bottom.map_or(stage, |b| b * stage / (b + stage));
        let through = self.stopper + self.top.unwrap_or(0.0) + below;
        self.coupling = coupling(1.0 / (TAU * CORNER * pitch * through));
        self
    }

    /// Voltage ratio and resistance (ohm) that the first stage sees, for that source.
    #[must_use]
    pub fn thevenin(&self, source: f64) -> (f64, f64) {
        let bled = self.bleed / (self.bleed + source);
        let above = source * bled + self.stopper + self.top.unwrap_or(0.0);
        match self.bottom {
            Some(bottom) => (
                bled * bottom / (above + bottom),
                above * bottom / (above + bottom),
            ),
            None => (bled, above),
        }
    }

    /// Puts the parts on the board; gives the node that drives the first stage.
    pub(crate) fn draw(&self, board: &mut Board, input: NodeId, mid: NodeId) -> NodeId {
        board.begin("input");
        let ground = NodeId::GROUND;
        let coupled = board.circuit.node("coupled");
        let mut node = board.circuit.node("quiet");
        board.resistor(self.bleed, [input, ground], "bleed");
        // of a polarised one the inner side is positive: it stands at mid-supply
        board.odd_capacitor(self.coupling, [coupled, input], "coupling");
        board.resistor(self.stopper, [coupled, node], "radio-frequency stopper");
        board.odd_capacitor(RADIO, [node, ground], "radio-frequency bypass");
        if let Some(top) = self.top {
            let below = board.circuit.node("pad");
            board.resistor(top, [node, below], "attenuator, top");
            node = below;
        }
        if let Some(bottom) = self.bottom {
            let role = if self.top.is_some() {
                "attenuator, bottom"
            } else {
                "bias"
            };
            board.resistor(bottom, [node, mid], role);
        }
        if self.buffered {
            let out = board.circuit.node("buffered");
            board.amplifier(node, out, out, "buffer");
            node = out;
        }
        node
    }
}
