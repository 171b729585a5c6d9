//! The mid-supply node: two resistors from the supply, a reservoir capacitor, and a follower
//! where the ground legs are too small for it.
//!
//! Signal in the ground legs flows into this node; what its impedance lets stand there
//! couples the stages and moves their centres. Rule: at the pitch it is at most 1 % of the
//! smallest leg (common practice), and of a leg that moves Q n times as much at 1/n of that. The reservoir gives `1/(ωC)`, so
//! `C ≥ 100/(ω·leg)`, with a margin for an electrolytic 20 % low. More than 100 µF would
//! make switch-on a matter of seconds: then a follower drives the node. It does so as well
//! where a package has an amplifier to spare, which costs nothing.

use super::standard::{ceramic, electrolytic};
use crate::topology::{Board, Odd};
use circuit::{Element, NodeId};
use std::f64::consts::TAU;

/// Reservoirs in order, farad.
const RESERVOIRS: [f64; 4] = [10e-6, 22e-6, 47e-6, 100e-6];

/// Impedance of the node against the smallest leg.
const SHARE: f64 = 0.01;

/// An electrolytic 20 % low still does.
const MARGIN: f64 = 0.8;

/// How the mid-supply voltage is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Bias {
    /// Each of the two resistors, ohm.
    pub resistor: f64,
    /// The reservoir.
    pub reservoir: Odd,
    /// Whether a follower drives the node.
    pub buffered: bool,
}

impl Bias {
    /// The mid-supply network for a smallest leg (ohm) at a pitch (Hz); `spare` says that an
    /// amplifier has nothing else to do.
    #[must_use]
    pub fn for_leg(leg: f64, pitch: f64, spare: bool) -> Self {
        let wanted = 1.0 / (TAU * pitch * SHARE * leg * MARGIN);
        match RESERVOIRS.into_iter().find(|&c| c >= wanted) {
            Some(farads) if !spare => Bias {
                resistor: 22e3,
                reservoir: electrolytic(farads),
                buffered: false,
            },
            _ => Bias {
                resistor: 100e3,
                reservoir: electrolytic(10e-6),
                buffered: true,
            },
        }
    }

    /// Puts the parts on the board.
    pub(crate) fn draw(&self, board: &mut Board, vcc: NodeId, mid: NodeId) {
        board.begin("bias");
        let ground = NodeId::GROUND;
        let tap = if self.buffered {
            board.circuit.node("half")
        } else {
            mid
        };
        board.resistor(self.resistor, [vcc, tap], "divider, upper");
        board.resistor(self.resistor, [tap, ground], "divider, lower");
        board.odd_capacitor(self.reservoir, [tap, ground], "reservoir");
        board.odd_capacitor(
            ceramic(100e-9),
            [tap, ground],
            "reservoir for high frequencies",
        );
        if self.buffered {
            board.amplifier(tap, mid, mid, "mid-supply follower");
        }
    }
}

/// The smallest impedance at the pitch between the mid-supply node and anything, ohm.
pub(crate) fn smallest_leg(board: &Board, mid: NodeId, pitch: f64) -> f64 {
    let legs = board.circuit.parts.iter().map(|part| match &part.element {
        Element::Resistor { value, between } if between.contains(&mid) => value.0,
        Element::Capacitor { value, between, .. } if between.contains(&mid) => {
            1.0 / (TAU * pitch * value.0)
        }
        _ => f64::INFINITY,
    });
    legs.fold(f64::INFINITY, f64::min)
}
