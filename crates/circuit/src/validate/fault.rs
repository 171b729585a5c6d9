//! One fault, and where it shows.

use std::ops::Range;

use document::Complaint;

use crate::Places;

/// Whether the circuit can be analysed all the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It cannot, or the answer would mean nothing.
    Problem,
    /// It can, but this is hardly meant.
    Doubt,
}

/// A place in the circuit that a caret can point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// A part as a whole, by its index.
    Part(usize),
    /// A part's value.
    Value(usize),
    /// One node of a part: the part's index, and the place in [`crate::Element::nodes`].
    Terminal(usize, usize),
    /// The input.
    Input,
    /// The output.
    Output,
    /// The supply.
    Supply,
}

impl Places {
    /// The bytes of a spot.
    #[must_use]
    pub fn span(&self, spot: Spot) -> Range<usize> {
        let part = |index: usize| self.parts.get(index);
        let found = match spot {
            Spot::Part(index) => part(index).map(|p| p.reference.clone()),
            Spot::Value(index) => part(index).map(|p| p.value.clone()),
            Spot::Terminal(index, node) => part(index).and_then(|p| p.nodes.get(node).cloned()),
            Spot::Input => Some(self.input.clone()),
            Spot::Output => Some(self.output.clone()),
            Spot::Supply => self.supply.clone(),
        };
        found.unwrap_or(0..0)
    }
}

/// One fault of a circuit. The texts are lower-case fragments without a full stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Its kind, for machines: the name of the file that finds it, with hyphens.
    pub id: &'static str,
    /// Whether the circuit can be analysed all the same.
    pub severity: Severity,
    /// What was found, naming parts and nodes.
    pub found: String,
    /// What would be right.
    pub allowed: String,
    /// Why it matters.
    pub why: &'static str,
    /// What to do.
    pub advice: String,
    /// References of the parts concerned.
    pub parts: Vec<String>,
    /// Names of the nodes concerned.
    pub nodes: Vec<String>,
    /// Where it shows, the most telling place first.
    pub spots: Vec<Spot>,
}

impl Fault {
    /// The fault as a complaint about the file the circuit was read from.
    #[must_use]
    pub fn complaint(&self, places: &Places) -> Complaint {
        let span = self.spots.first().map_or(0..0, |&spot| places.span(spot));
        Complaint {
            span,
            found: self.found.clone(),
            allowed: self.allowed.clone(),
            advice: self.advice.clone(),
        }
    }
}
