//! The places of a topology: which parts it has, in the order the value search fills them.

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
    /// The value of an earlier place.
    Same(usize),
    /// The value of the series nearest to this one: only its ratio to others matters.
    Near(f64),
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
}

impl Place {
    /// A resistor to be chosen freely.
    #[must_use]
    pub const fn resistor(role: &'static str) -> Self {
        Place {
            kind: PlaceKind::Resistor,
            role,
            rule: Rule::Free,
        }
    }

    /// A capacitor to be chosen freely.
    #[must_use]
    pub const fn capacitor(role: &'static str) -> Self {
        Place {
            kind: PlaceKind::Capacitor,
            role,
            rule: Rule::Free,
        }
    }

    /// The same place with its value tied to an earlier one.
    #[must_use]
    pub const fn same_as(self, earlier: usize) -> Self {
        Place {
            kind: self.kind,
            role: self.role,
            rule: Rule::Same(earlier),
        }
    }

    /// The same place with the series value nearest to `value`.
    #[must_use]
    pub const fn near(self, value: f64) -> Self {
        Place {
            kind: self.kind,
            role: self.role,
            rule: Rule::Near(value),
        }
    }
}
