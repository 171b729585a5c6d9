//! Everything one printed sheet says, as plain values.

use circuit::Circuit;

use super::{PowerUp, SpreadSummary, TestPoint, ToneTest};
use crate::chart::{ResponseChart, TailChart};
use crate::schematic::Symbols;
use units::Decibels;

/// One line of the table of figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What is measured, with what pins it down: `Width, 6 dB down`.
    pub name: String,
    /// The value with its unit: `180 Hz`.
    pub value: String,
    /// How the figure is defined, in a sentence.
    pub definition: String,
    /// What was asked for, where there was a wish: `180 Hz`.
    pub asked: Option<String>,
}

/// How grave a notice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Good to know.
    Note,
    /// Worth a second look before soldering.
    Caution,
    /// The circuit will not do what was asked.
    Problem,
}

/// Something the builder must know about this circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// How grave it is.
    pub severity: Severity,
    /// What was found.
    pub text: String,
    /// Why it matters.
    pub why: String,
    /// What to do about it.
    pub advice: String,
}

/// A thing to buy that is not in the netlist: jack, switch, box, socket.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraPart {
    /// References it carries on the wiring: `J1`, `J2`; empty for what has none.
    pub references: Vec<String>,
    /// How many.
    pub quantity: usize,
    /// What it is.
    pub what: String,
    /// A hint for buying or fitting it; may be empty.
    pub note: String,
}

/// What the bypass switch is to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Bypass {
    /// Reference of the switch: `S1`.
    pub switch: String,
    /// References of the input jack, the output jack and the supply socket: `J1`, `J2`, `J3`.
    pub jacks: [String; 3],
    /// Level of the filtered position against bypass at the pitch.
    pub step: Decibels,
    /// Whether a third pole switches the supply, so that power off is bypass.
    pub switches_supply: bool,
}

/// One build sheet. Every number in it is given by the caller; the sheet only lays out.
///
/// Parts list, assembly order and the schematic follow from `circuit`; a part's `stage`
/// and `role` are used where they are known.
#[derive(Debug, Clone, PartialEq)]
pub struct BuildSheet {
    /// What the user calls the design.
    pub title: String,
    /// A line under the title: what it is, in words; may be empty.
    pub subtitle: String,
    /// Who wrote the sheet and when, as it is to be printed in the foot line
    /// (`Narrows 0.1.0`); may be empty.
    pub made_by: String,
    /// The circuit that gets soldered.
    pub circuit: Circuit,
    /// The family of schematic symbols.
    pub symbols: Symbols,
    /// The table of figures, in the order of interest.
    pub figures: Vec<Figure>,
    /// Wishes the user left out and the rule that filled each, in words.
    pub assumed: Vec<String>,
    /// Findings of the checks; gravest first is the caller's order.
    pub notices: Vec<Notice>,
    /// The response chart, if there is one.
    pub response: Option<ResponseChart>,
    /// The tail chart, if there is one.
    pub tail: Option<TailChart>,
    /// What real parts do to the design, if it was tried.
    pub spread: Option<SpreadSummary>,
    /// Places to measure, marked on the schematic and named in the tone test.
    pub test_points: Vec<TestPoint>,
    /// Hints for single parts: (reference, text), such as a substitute or `match to 2 %`.
    pub part_notes: Vec<(String, String)>,
    /// Things to buy that are not in the netlist.
    pub extras: Vec<ExtraPart>,
    /// First power-up; left out for a circuit without a supply.
    pub power_up: Option<PowerUp>,
    /// The tone test; left out where no levels were computed.
    pub tone_test: Option<ToneTest>,
    /// The bypass switch; left out where the box has none.
    pub bypass: Option<Bypass>,
    /// Whether the box is listened to through phones at its output.
    pub phones: bool,
    /// Cautions of this design beside the standing ones, such as the loudest sound.
    pub cautions: Vec<String>,
}

impl BuildSheet {
    /// A sheet that holds the circuit and its title, and nothing else yet.
    #[must_use]
    pub fn new(circuit: Circuit) -> Self {
        BuildSheet {
            title: circuit.title.clone(),
            subtitle: String::new(),
            made_by: String::new(),
            circuit,
            symbols: Symbols::Iec60617,
            figures: Vec::new(),
            assumed: Vec::new(),
            notices: Vec::new(),
            response: None,
            tail: None,
            spread: None,
            test_points: Vec::new(),
            part_notes: Vec::new(),
            extras: Vec::new(),
            power_up: None,
            tone_test: None,
            bypass: None,
            phones: false,
            cautions: Vec::new(),
        }
    }
}
