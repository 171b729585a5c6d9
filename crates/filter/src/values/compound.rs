//! One place made of two parts.
//!
//! Two resistors in series give `a + b`, in parallel `ab/(a + b)`; two capacitors in parallel `a + b`
//! (closed forms). Capacitors in series are left out: they waste capacitance. If each part is within
//! a tolerance `t`, so is the compound: its slopes to its parts are positive and add up to 1.

use super::shelf::Shelf;
use super::taste::Taste;
use crate::topology::PlaceKind;
use std::fmt;
use units::{Farads, Ohms};

/// How the two are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joint {
    /// One after the other.
    Series,
    /// Side by side.
    Parallel,
}

/// Two parts of a shelf in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compound {
    /// Resistors or capacitors.
    pub kind: PlaceKind,
    /// How they are joined.
    pub joint: Joint,
    /// Their values, ohm or farad, the larger first.
    pub parts: [f64; 2],
}

impl Compound {
    /// Value of the two together, ohm or farad.
    #[must_use]
    pub fn value(&self) -> f64 {
        let [a, b] = self.parts;
        match (self.kind, self.joint) {
            (PlaceKind::Resistor, Joint::Series) | (PlaceKind::Capacitor, Joint::Parallel) => a + b,
            (PlaceKind::Resistor, Joint::Parallel) | (PlaceKind::Capacitor, Joint::Series) => {
                a * (b / (a + b))
            }
        }
    }

    /// Every different value that two parts of a kind on the shelf give and one does not, rising. Of
    /// compounds of one value the least awkward stands, then the one whose parts are more alike.
    #[must_use]
    pub fn of(shelf: &Shelf, kind: PlaceKind) -> Vec<Compound> {
        let joints: &[Joint] = match kind {
            PlaceKind::Resistor => &[Joint::Series, Joint::Parallel],
            PlaceKind::Capacitor => &[Joint::Parallel],
        };
        let all = shelf.all(kind);
        let mut compounds: Vec<(f64, Compound)> = Vec::new();
        for (k, &larger) in all.iter().enumerate() {
            for &smaller in &all[..=k] {
                compounds.extend(joints.iter().map(|&joint| {
                    let parts = [larger, smaller];
                    let compound = Compound { kind, joint, parts };
                    (compound.value(), compound)
                }));
            }
        }
        compounds.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        compounds
            .chunk_by(|(a, _), (b, _)| (b / a - 1.0).abs() < SAME)
            .filter(|alike| !single(all, alike[0].0))
            .filter_map(|alike| {
                let compounds = alike.iter().map(|(_, compound)| compound);
                compounds.min_by(|a, b| a.rank().total_cmp(&b.rank()))
            })
            .copied()
            .collect()
    }

    /// Awkwardness of the parts; how unlike they are decides between equals.
    fn rank(&self) -> f64 {
        let [a, b] = self.parts;
        let price = |value| Taste::BENCH.of(self.kind, value);
        price(a) + price(b) + 1e-6 * (a / b).ln()
    }
}

/// Values this near are one.
const SAME: f64 = 1e-9;

fn single(all: &[f64], value: f64) -> bool {
    !super::shelf::between(all, value * (1.0 - SAME), value * (1.0 + SAME)).is_empty()
}

impl fmt::Display for Joint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Joint::Series => "in series",
            Joint::Parallel => "in parallel",
        })
    }
}

impl fmt::Display for Compound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let joint = self.joint;
        let [a, b] = self.parts;
        match self.kind {
            PlaceKind::Resistor => write!(f, "{} and {} {joint}", Ohms(a), Ohms(b)),
            PlaceKind::Capacitor => write!(f, "{} and {} {joint}", Farads(a), Farads(b)),
        }
    }
}
