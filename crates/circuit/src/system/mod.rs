//! The circuit as equations: modified nodal analysis in which everything is rank one.
//!
//! `A(s) x = b` with `A(s) = Σ value · s^power · u vᵀ`. A resistor is `1/R · d dᵀ` with
//! `d = e_a − e_b`, a capacitor `s C · d dᵀ`, an inductor and an op-amp have one unknown
//! current and one equation each. The small signal stands on an ideal supply: the node
//! `vcc` is 0 V like `0`. The source is 1 V behind `circuit.source`. Closed switches, wire
//! links (0 Ω) and the ends of pots are no equations at all: their nodes are one.
//!
//! Op-amp, one equation for the textbook amplifier and the real one alike:
//! `(1/A0 + s/ωt)(v_out + ro i) − (v_plus − v_minus) = 0` with ωt = 2π gain-bandwidth and `i` the
//! current it delivers; input resistance and capacitance stand between its inputs. For the
//! textbook amplifier `1/A0`, `1/ωt` and `ro` are 0.
//!
//! `crate::network` states the same laws a second time, with every large-signal limit, for the
//! operating point and the transient. That is deliberate: a slip in one shows as a disagreement
//! between the sweep and a small transient, and neither form serves both well (here every value
//! stays a separate factor, to be varied; there everything may bend).
//!
//! Source: modified nodal analysis [HO1975; from memory].

mod build;
mod incidence;
mod nets;
mod parameter;
mod strength;
mod unsolvable;

pub use incidence::Incidence;
pub use parameter::{Parameter, Property};
pub use strength::Strength;
pub use unsolvable::Unsolvable;

use crate::NodeId;

/// What an unknown or an equation stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// The voltage of a net, and the current law there: index of one of its nodes.
    Voltage(NodeId),
    /// The current of a part, and its own equation: index of the part.
    Current(usize),
    /// The current of the source.
    SourceCurrent,
}

/// One rank-one term `value · s^power · u vᵀ` of the equations.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Where it stands among the equations.
    pub u: Incidence,
    /// Which unknowns it sees.
    pub v: Incidence,
    /// Its value (S, F, H, or a plain number).
    pub value: f64,
}

/// An entry of the matrix: `fixed + s · dynamic`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// Equation and unknown.
    pub at: (usize, usize),
    /// Part that does not depend on frequency.
    pub fixed: f64,
    /// Factor of `s`.
    pub dynamic: f64,
}

/// A circuit's small-signal equations.
#[derive(Debug, Clone)]
pub struct System {
    unknowns: Vec<Unknown>,
    pub(crate) of_node: Vec<Option<usize>>,
    of_part: Vec<Option<usize>>,
    names: Vec<String>,
    source_row: usize,
    output: NodeId,
    entries: Vec<Entry>,
    fixed: Vec<Term>,
    dynamic: Vec<Term>,
    parameters: Vec<Parameter>,
    strengths: Vec<Strength>,
    diodes: Vec<(usize, f64)>,
}

impl System {
    /// Number of unknowns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.unknowns.len()
    }

    /// What each unknown is.
    #[must_use]
    pub fn unknowns(&self) -> &[Unknown] {
        &self.unknowns
    }

    /// Index of the voltage of `node`; `None` where the signal is 0 V (the rails).
    #[must_use]
    pub fn voltage(&self, node: NodeId) -> Option<usize> {
        self.of_node[node.0]
    }

    /// Index of the current unknown and the own equation of a part, where it has one (op-amps
    /// and inductors).
    #[must_use]
    pub fn current(&self, part: usize) -> Option<usize> {
        self.of_part[part]
    }

    /// Index of the equation of the source, whose right-hand side is the source voltage.
    #[must_use]
    pub fn source_row(&self) -> usize {
        self.source_row
    }

    /// The node that is listened to.
    #[must_use]
    pub fn output(&self) -> NodeId {
        self.output
    }

    /// The matrix, entry by entry; no place twice.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The terms that do not depend on frequency.
    #[must_use]
    pub fn fixed(&self) -> &[Term] {
        &self.fixed
    }

    /// The terms proportional to `s`: one for each capacitor, inductor and amplifier pole.
    #[must_use]
    pub fn dynamic(&self) -> &[Term] {
        &self.dynamic
    }

    /// Everything about the parts that can be varied; the strengths say what each makes.
    #[must_use]
    pub fn parameters(&self) -> &[Parameter] {
        &self.parameters
    }

    /// The matrix once more, as what each part's numbers contribute: for varying them.
    #[must_use]
    pub fn strengths(&self) -> &[Strength] {
        &self.strengths
    }

    /// Diodes (part index) with the small-signal conductance they were given, S.
    #[must_use]
    pub fn diodes(&self) -> &[(usize, f64)] {
        &self.diodes
    }

    /// How a user knows an unknown: the nodes of its net, or the part.
    #[must_use]
    pub fn name(&self, unknown: usize) -> &str {
        &self.names[unknown]
    }

    /// The equations with the source replaced by whatever keeps `output` at 0 V: their poles
    /// are the zeros of the transfer to `output`. `None` when `output` is a rail.
    #[must_use]
    pub fn with_output_nulled(&self, output: NodeId) -> Option<System> {
        let seen = self.voltage(output)?;
        let mut nulled = self.clone();
        let extra = nulled.unknowns.len();
        nulled.unknowns.push(Unknown::SourceCurrent);
        nulled.names.push("the source".to_owned());
        let mut plain = |at: (usize, usize), fixed| {
            nulled.entries.push(Entry {
                at,
                fixed,
                dynamic: 0.0,
            });
            nulled.strengths.push(Strength {
                u: Incidence::unit(Some(at.0)),
                v: Incidence::unit(Some(at.1)),
                dynamic: false,
                value: fixed,
                powers: Vec::new(),
            });
        };
        plain((self.source_row, extra), -1.0);
        plain((extra, seen), 1.0);
        nulled.source_row = extra;
        Some(nulled)
    }
}
