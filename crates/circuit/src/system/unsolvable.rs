//! Why a circuit has no small-signal solution, in the words of the bench.

use super::{System, Unknown};
use numeric::Singular;
use std::fmt;

/// A shortcoming of the circuit that leaves its equations without a solution.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsolvable {
    /// A number of a part that no part can have.
    Value {
        /// Reference of the part.
        part: String,
        /// Which number.
        what: &'static str,
        /// What was found.
        found: f64,
    },
    /// The named port (`input`, `output`) is the 0 V rail or the supply.
    PortOnRail {
        /// `input` or `output`.
        port: &'static str,
    },
    /// An amplifier's output is soldered to a rail.
    OutputOnRail {
        /// Reference of the amplifier.
        part: String,
    },
    /// These unknowns cannot be told apart: something floats, or two ideal things fight.
    Undetermined {
        /// Nodes whose voltage nothing fixes, as the user named them.
        nodes: Vec<String>,
        /// Parts whose current nothing fixes.
        parts: Vec<String>,
    },
    /// The equations have no solution at this one frequency: an undamped resonance.
    Resonance {
        /// Frequency, Hz.
        f_hz: f64,
    },
    /// An iteration of the analysis did not settle.
    NotConverged {
        /// Which analysis.
        what: &'static str,
    },
}

impl Unsolvable {
    /// Says in the user's words which nodes and parts a singular matrix leaves open.
    pub(crate) fn undetermined(system: &System, singular: &Singular) -> Unsolvable {
        let (mut nodes, mut parts) = (Vec::new(), Vec::new());
        for &column in &singular.columns {
            let name = system.name(column).to_owned();
            match system.unknowns()[column] {
                Unknown::Voltage(_) => nodes.push(name),
                Unknown::Current(_) | Unknown::SourceCurrent => parts.push(name),
            }
        }
        Unsolvable::Undetermined { nodes, parts }
    }
}

impl fmt::Display for Unsolvable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsolvable::Value { part, what, found } => write!(
                f,
                "the {what} of {part} is {found:e}; it must be a finite number, not below zero"
            ),
            Unsolvable::PortOnRail { port } => write!(
                f,
                "the {port} is joined to 0 V or to the supply; name a node that carries the signal"
            ),
            Unsolvable::OutputOnRail { part } => write!(
                f,
                "the output of {part} is joined to 0 V or to the supply; give it a node of its own"
            ),
            Unsolvable::Undetermined { nodes, parts } => {
                f.write_str("nothing fixes ")?;
                if !nodes.is_empty() {
                    write!(f, "the voltage of {}", nodes.join(", "))?;
                }
                if !parts.is_empty() {
                    let and = if nodes.is_empty() { "" } else { " and " };
                    write!(f, "{and}the current of {}", parts.join(", "))?;
                }
                f.write_str(
                    "; look for a node that only amplifier inputs reach, an amplifier without \
                     feedback, or two outputs joined",
                )
            }
            Unsolvable::Resonance { f_hz } => write!(
                f,
                "the circuit has an undamped resonance at {f_hz:.6} Hz; give its inductor or loop \
                 the resistance a real one has"
            ),
            Unsolvable::NotConverged { what } => write!(
                f,
                "the {what} did not settle; look for part values many powers of ten apart"
            ),
        }
    }
}

impl std::error::Error for Unsolvable {}
