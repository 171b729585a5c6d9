//! One part of a circuit.

use parts::{Dielectric, OpampModel};
use units::{Farads, Henries, Ohms, Ratio};

/// A node of the circuit, an index into [`crate::Circuit::nodes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub usize);

impl NodeId {
    /// The 0 V rail.
    pub const GROUND: NodeId = NodeId(0);
}

/// One part: its reference, what it is, and what the plan knows about its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Reference on the schematic: `R7`, `C2`, `U1A`.
    pub reference: String,
    /// What it is and where it is connected.
    pub element: Element,
    /// Tolerance of its value, if stated.
    pub tolerance: Option<Ratio>,
    /// Which stage it belongs to (`"1"`, `"bias"`, `"input"`, `"phones"`), if known.
    pub stage: Option<String>,
    /// What it does there (`"ground leg"`, `"feedback"`, `"decoupling"`), if known.
    pub role: Option<String>,
}

/// What a part is, its value, and the nodes it joins.
#[derive(Debug, Clone, PartialEq)]
pub enum Element {
    /// A resistor.
    Resistor {
        /// Resistance.
        value: Ohms,
        /// Its two ends.
        between: [NodeId; 2],
    },
    /// A capacitor; of a polarised one the first end is positive.
    Capacitor {
        /// Capacitance.
        value: Farads,
        /// What it is made of.
        dielectric: Dielectric,
        /// Its two ends.
        between: [NodeId; 2],
    },
    /// An inductor with the resistance of its wire.
    Inductor {
        /// Inductance.
        value: Henries,
        /// Series resistance.
        resistance: Ohms,
        /// Its two ends.
        between: [NodeId; 2],
    },
    /// An op-amp, or one amplifier of a package.
    Opamp(Opamp),
    /// A diode.
    Diode(Diode),
    /// A potentiometer.
    Pot(Pot),
    /// A switch.
    Switch(Switch),
}

/// One amplifier.
#[derive(Debug, Clone, PartialEq)]
pub struct Opamp {
    /// Its numbers.
    pub model: OpampModel,
    /// Non-inverting input.
    pub plus: NodeId,
    /// Inverting input.
    pub minus: NodeId,
    /// Output.
    pub out: NodeId,
    /// Positive and negative supply nodes (`vcc` and `0` unless the file says otherwise).
    pub rails: [NodeId; 2],
}

/// A diode with the exponential law `i = saturation (exp(v / (ideality · V_T)) − 1)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Diode {
    /// Anode.
    pub anode: NodeId,
    /// Cathode.
    pub cathode: NodeId,
    /// Saturation current, A.
    pub saturation_a: f64,
    /// Ideality factor.
    pub ideality: f64,
}

/// How a potentiometer's resistance follows its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taper {
    /// Proportional to the angle.
    Linear,
    /// Audio taper: 10 % of the resistance at half turn (common practice).
    Audio,
    /// Reverse audio taper.
    ReverseAudio,
}

/// A potentiometer from `ends[0]` over the wiper to `ends[1]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    /// Resistance end to end.
    pub value: Ohms,
    /// Shaft position, 0 (wiper at `ends[0]`) to 1 (wiper at `ends[1]`).
    pub position: f64,
    /// Its law.
    pub taper: Taper,
    /// The ends of the track.
    pub ends: [NodeId; 2],
    /// The wiper.
    pub wiper: NodeId,
}

/// One pole of a switch: the common joins one of the ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Switch {
    /// The pole.
    pub common: NodeId,
    /// The throws.
    pub ways: Vec<NodeId>,
    /// Which throw is closed, counted from 1; 0 is open.
    pub position: usize,
}
