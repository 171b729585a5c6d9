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
    /// Anything the user wants remembered about it.
    pub note: Option<String>,
}

impl Part {
    /// A part of which nothing but its reference and its element is known.
    #[must_use]
    pub fn new(reference: &str, element: Element) -> Self {
        Part {
            reference: reference.to_owned(),
            element,
            tolerance: None,
            stage: None,
            role: None,
            note: None,
        }
    }
}

/// What a part is, its value, and the nodes it joins.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "a circuit has a few dozen parts, and plain matching on them is worth the bytes"
)]
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

impl Element {
    /// What the circuit file calls this kind.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Element::Resistor { .. } => "resistor",
            Element::Capacitor { .. } => "capacitor",
            Element::Inductor { .. } => "inductor",
            Element::Opamp(_) => "opamp",
            Element::Diode(_) => "diode",
            Element::Pot(_) => "pot",
            Element::Switch(_) => "switch",
        }
    }

    /// Every node it is soldered to, in the order of its keys in the file; an op-amp's
    /// supply nodes come last.
    #[must_use]
    pub fn nodes(&self) -> Vec<NodeId> {
        match self {
            Element::Resistor { between, .. }
            | Element::Capacitor { between, .. }
            | Element::Inductor { between, .. } => between.to_vec(),
            Element::Opamp(a) => vec![a.plus, a.minus, a.out, a.rails[0], a.rails[1]],
            Element::Diode(d) => vec![d.anode, d.cathode],
            Element::Pot(p) => vec![p.ends[0], p.ends[1], p.wiper],
            Element::Switch(s) => std::iter::once(s.common)
                .chain(s.ways.iter().copied())
                .collect(),
        }
    }
}

impl Element {
    /// Puts every node through a function, in the order of [`Element::nodes`].
    pub fn rewire(&mut self, mut to: impl FnMut(NodeId) -> NodeId) {
        let mut all = |nodes: &mut [&mut NodeId]| {
            for node in nodes {
                **node = to(**node);
            }
        };
        match self {
            Element::Resistor { between, .. }
            | Element::Capacitor { between, .. }
            | Element::Inductor { between, .. } => {
                let [a, b] = between;
                all(&mut [a, b]);
            }
            Element::Opamp(a) => {
                let [positive, negative] = &mut a.rails;
                all(&mut [&mut a.plus, &mut a.minus, &mut a.out, positive, negative]);
            }
            Element::Diode(d) => all(&mut [&mut d.anode, &mut d.cathode]),
            Element::Pot(p) => {
                let [first, second] = &mut p.ends;
                all(&mut [first, second, &mut p.wiper]);
            }
            Element::Switch(s) => {
                all(&mut [&mut s.common]);
                for way in &mut s.ways {
                    all(&mut [way]);
                }
            }
        }
    }
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

impl Pot {
    /// Resistance from `ends[0]` to the wiper and from the wiper to `ends[1]`.
    ///
    /// Audio taper: `r(x) = (81^x − 1)/80` of the track, which is the exponential law
    /// through 0, 10 % at half turn and 1 (10 % at half turn: common practice; 81 follows
    /// from it, since `1/(√b + 1) = 0.1`). Reverse audio is its mirror image.
    #[must_use]
    pub fn halves(&self) -> [Ohms; 2] {
        let audio = |x: f64| (81_f64.powf(x) - 1.0) / 80.0;
        let x = self.position;
        let share = match self.taper {
            Taper::Linear => x,
            Taper::Audio => audio(x),
            Taper::ReverseAudio => 1.0 - audio(1.0 - x),
        };
        [
            Ohms(self.value.0 * share),
            Ohms(self.value.0 * (1.0 - share)),
        ]
    }
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

impl Switch {
    /// The node the common is joined to, if any.
    #[must_use]
    pub fn closed_on(&self) -> Option<NodeId> {
        let way = self.position.checked_sub(1)?;
        self.ways.get(way).copied()
    }
}
