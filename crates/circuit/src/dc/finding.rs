//! What is remarkable about a point of rest, as data.

use units::{Amperes, Volts};

/// One remarkable thing; parts and nodes are named as in the file.
#[derive(Debug, Clone, PartialEq)]
pub enum DcFinding {
    /// An amplifier's output rests against the end of its swing.
    Stuck {
        /// Reference of the amplifier.
        part: String,
        /// Node of its output.
        node: String,
        /// At the positive end (otherwise the negative).
        high: bool,
        /// Where it rests.
        at: Volts,
    },
    /// An amplifier's input rests where the amplifier is not specified to work.
    InputOutOfRange {
        /// Reference of the amplifier.
        part: String,
        /// Node of the input.
        node: String,
        /// Where it rests.
        at: Volts,
        /// Least and greatest voltage it should rest at.
        allowed: (Volts, Volts),
    },
    /// An amplifier gives all the current it can.
    CurrentLimited {
        /// Reference of the amplifier.
        part: String,
        /// What flows out of its output.
        current: Amperes,
    },
    /// The point found is a latch: with its inputs as they are wired, the balanced point
    /// exists on paper only and the amplifiers went to their rails.
    Latched {
        /// References of the amplifiers that ended at a rail.
        parts: Vec<String>,
    },
    /// The only point of rest found is one a real circuit leaves.
    Unstable,
    /// No direct current reaches these nodes; a leak of 1 GΩ was assumed.
    Floating {
        /// The nodes of one island.
        nodes: Vec<String>,
    },
    /// A polarised capacitor is charged the wrong way round.
    ReversedPolarity {
        /// Reference of the capacitor.
        part: String,
        /// Voltage of its first (positive) end against its second.
        across: Volts,
    },
    /// The supply is outside what an amplifier's type stands or needs.
    SupplyOutOfRange {
        /// Reference of the amplifier.
        part: String,
        /// Voltage between its supply pins.
        at: Volts,
        /// Least and greatest.
        allowed: (Volts, Volts),
    },
    /// Direct voltage stands at the output, and a load is there to take it.
    DirectVoltageAtOutput {
        /// Output node.
        node: String,
        /// How much.
        at: Volts,
    },
}
