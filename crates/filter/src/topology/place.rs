//! The places of a topology: which parts it has, in the order the value search fills them.
//!
//! Beside its [`Rule`] a place may have a [`Design`]: where its value must lie for the circuit to
//! be a good one, whatever the equations allow. The rules are data, stated with the topology, so
//! that the search and whoever judges it look at the same combinations.

/// What stands in a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceKind {
    /// A resistor, ohm.
    Resistor,
    /// A capacitor, farad.
    Capacitor,
}

/// How the value of a place is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rule {
    /// Any value of the series inside the range.
    Free,
    /// The value of an earlier place: the equations hold for no other.
    Same(usize),
    /// The value of an earlier place, for the builder's ease: the equations hold for any, and the
    /// search may be told to look at them all ([`crate::values::Task::unequal`]).
    Tied(usize),
    /// The value of the series nearest to this one: only its ratio to others matters.
    Near(f64),
}

impl Rule {
    /// The rule that holds where tied places may differ, or may not.
    #[must_use]
    pub const fn released(self, unequal: bool) -> Self {
        match self {
            Rule::Tied(_) if unequal => Rule::Free,
            Rule::Tied(earlier) => Rule::Same(earlier),
            rule => rule,
        }
    }
}

/// Parts meant to be alike may differ by this factor.
const ALIKE: f64 = 1.5;

/// Where the value of a free place must lie, beside what the equations want.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Design {
    /// Anywhere.
    Any,
    /// Alike to an earlier place: within 1.5 times.
    Alike(usize),
    /// About `times` the reactance, at the natural frequency wanted, of the geometric mean of two
    /// capacitors: within 1.5 times.
    Reactance {
        /// The places of the two capacitors.
        of: [usize; 2],
        /// Of which so many times.
        times: f64,
    },
    /// Between two values, SI.
    Between(f64, f64),
}

impl Design {
    /// The range for the natural angular frequency wanted, rad/s, and the values of the places
    /// before this one.
    #[must_use]
    pub fn range(&self, w0: f64, chosen: &[f64]) -> (f64, f64) {
        let about = |centre: f64| (centre / ALIKE, centre * ALIKE);
        match *self {
            Design::Any => (0.0, f64::INFINITY),
            Design::Alike(earlier) => about(chosen[earlier]),
            Design::Reactance { of: [a, b], times } => {
                about(times / (w0 * (chosen[a] * chosen[b]).sqrt()))
            }
            Design::Between(low, high) => (low, high),
        }
    }
}

/// One part of a topology before it has a reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Resistor or capacitor.
    pub kind: PlaceKind,
    /// What the part does there, in bench words.
    pub role: &'static str,
    /// How its value is found.
    pub rule: Rule,
    /// Where it must lie.
    pub design: Design,
}

impl Place {
    /// A resistor to be chosen freely.
    #[must_use]
    pub const fn resistor(role: &'static str) -> Self {
        Place {
            kind: PlaceKind::Resistor,
            role,
            rule: Rule::Free,
            design: Design::Any,
        }
    }

    /// A capacitor to be chosen freely.
    #[must_use]
    pub const fn capacitor(role: &'static str) -> Self {
        Place {
            kind: PlaceKind::Capacitor,
            role,
            rule: Rule::Free,
            design: Design::Any,
        }
    }

    /// The same place with the value of an earlier one, of necessity.
    #[must_use]
    pub const fn same_as(self, earlier: usize) -> Self {
        self.by(Rule::Same(earlier))
    }

    /// The same place with the value of an earlier one, for the builder's ease.
    #[must_use]
    pub const fn tied_to(self, earlier: usize) -> Self {
        self.by(Rule::Tied(earlier))
    }

    /// The same place with the series value nearest to `value`.
    #[must_use]
    pub const fn near(self, value: f64) -> Self {
        self.by(Rule::Near(value))
    }

    const fn by(self, rule: Rule) -> Self {
        Place { rule, ..self }
    }

    /// The same place with its value alike to an earlier one.
    #[must_use]
    pub const fn alike(self, earlier: usize) -> Self {
        self.designed(Design::Alike(earlier))
    }

    /// The same place with its value about the reactance of two capacitors.
    #[must_use]
    pub const fn reactance(self, times: f64, of: [usize; 2]) -> Self {
        self.designed(Design::Reactance { of, times })
    }

    /// The same place with its value between two, SI.
    #[must_use]
    pub const fn between(self, (low, high): (f64, f64)) -> Self {
        self.designed(Design::Between(low, high))
    }

    const fn designed(self, design: Design) -> Self {
        Place { design, ..self }
    }
}
