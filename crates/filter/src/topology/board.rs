//! Where a topology puts its parts: a circuit under construction that numbers
//! references from 1 in the order of the signal and hands out amplifiers package by package.

use circuit::{Circuit, Diode, Element, NodeId, Opamp, Part};
use parts::{Dielectric, OpampModel};
use units::{Farads, Ohms, Ratio};

/// The nodes a stage is connected to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ports {
    /// Where the signal comes from.
    pub input: NodeId,
    /// The output of the stage's last amplifier.
    pub output: NodeId,
    /// The mid-supply node, or 0 V where the supply is split.
    pub mid: NodeId,
}

/// A capacitor beside the signal path: its own kind and tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odd {
    /// Value.
    pub value: Farads,
    /// Dielectric.
    pub dielectric: Dielectric,
    /// Tolerance.
    pub tolerance: Ratio,
}

/// A circuit under construction.
#[derive(Debug, Clone)]
pub struct Board {
    /// The circuit so far.
    pub circuit: Circuit,
    amplifier: OpampModel,
    rails: [NodeId; 2],
    stage: String,
    resistor_tolerance: Ratio,
    capacitor_tolerance: Ratio,
    dielectric: Dielectric,
    resistors: usize,
    capacitors: usize,
    diodes: usize,
    package: usize,
    unit: usize,
}

impl Board {
    /// A board with nothing on it; `rails` are the supply nodes of every amplifier.
    #[must_use]
    pub fn new(circuit: Circuit, amplifier: &OpampModel, rails: [NodeId; 2]) -> Self {
        Board {
            circuit,
            amplifier: amplifier.clone(),
            rails,
            stage: String::new(),
            resistor_tolerance: Ratio(0.01),
            capacitor_tolerance: Ratio(0.05),
            dielectric: Dielectric::Film,
            resistors: 0,
            capacitors: 0,
            diodes: 0,
            package: 0,
            unit: 0,
        }
    }

    /// The same board with the builder's tolerances and capacitor kind.
    #[must_use]
    pub fn with_stock(mut self, resistors: Ratio, capacitors: Ratio, kind: Dielectric) -> Self {
        self.resistor_tolerance = resistors;
        self.capacitor_tolerance = capacitors;
        self.dielectric = kind;
        self
    }

    /// Parts from now on belong to this stage.
    pub fn begin(&mut self, stage: &str) {
        self.stage = stage.to_owned();
    }

    /// A node named after the stage under construction, such as `a1`.
    pub fn inner(&mut self, letter: &str) -> NodeId {
        let name = format!("{letter}{}", self.stage);
        self.circuit.node(&name)
    }

    /// Solders a resistor of `ohms`.
    pub fn resistor(&mut self, ohms: f64, between: [NodeId; 2], role: &str) {
        self.resistors += 1;
        let element = Element::Resistor {
            value: Ohms(as_marked(ohms)),
            between,
        };
        let reference = format!("R{}", self.resistors);
        self.solder(reference, element, Some(self.resistor_tolerance), role);
    }

    /// Solders a capacitor of `farads` of the builder's kind.
    pub fn capacitor(&mut self, farads: f64, between: [NodeId; 2], role: &str) {
        let odd = Odd {
            value: Farads(farads),
            dielectric: self.dielectric,
            tolerance: self.capacitor_tolerance,
        };
        self.odd_capacitor(odd, between, role);
    }

    /// Solders a capacitor of another kind: coupling, decoupling, radio frequency.
    pub fn odd_capacitor(&mut self, odd: Odd, between: [NodeId; 2], role: &str) {
        self.capacitors += 1;
        let element = Element::Capacitor {
            value: Farads(as_marked(odd.value.0)),
            dielectric: odd.dielectric,
            between,
        };
        let reference = format!("C{}", self.capacitors);
        self.solder(reference, element, Some(odd.tolerance), role);
    }

    /// Solders a diode.
    pub fn diode(&mut self, diode: Diode, role: &str) {
        self.diodes += 1;
        let reference = format!("D{}", self.diodes);
        self.solder(reference, Element::Diode(diode), None, role);
    }

    /// Puts a note on the part soldered last.
    pub fn note(&mut self, note: &str) {
        if let Some(part) = self.circuit.parts.last_mut() {
            part.note = Some(note.to_owned());
        }
    }

    /// Wires the next amplifier of the package, of a new one when it is used up.
    pub fn amplifier(&mut self, plus: NodeId, minus: NodeId, out: NodeId, role: &str) {
        let per = self.per_package();
        if self.package == 0 || self.unit == per {
            self.package += 1;
            self.unit = 0;
        }
        let reference = self.amplifier_reference();
        self.unit += 1;
        let opamp = Opamp {
            model: self.amplifier.clone(),
            plus,
            minus,
            out,
            rails: self.rails,
        };
        self.solder(reference, Element::Opamp(opamp), None, role);
    }

    /// Amplifiers from now on are of this type: of the package begun, if it is the same.
    /// What is left of a package of another type is parked at `mid`.
    pub fn change_amplifier(&mut self, amplifier: &OpampModel, mid: NodeId) {
        if amplifier.name != self.amplifier.name {
            self.park(mid);
            self.unit = amplifier.pinout.amplifiers.max(1);
            self.amplifier = amplifier.clone();
        }
    }

    /// Wires what is left of the last package as followers of the mid-supply node, so that
    /// no input floats and no output sits at a rail.
    pub fn park(&mut self, mid: NodeId) {
        while self.package > 0 && self.unit < self.per_package() {
            let name = format!("idle{}{}", self.package, unit_letter(self.unit));
            let out = self.circuit.node(&name);
            self.amplifier(mid, out, out, "not used, parked");
        }
    }

    /// Amplifiers of the last package that have no work yet.
    #[must_use]
    pub fn idle(&self) -> usize {
        if self.package == 0 {
            0
        } else {
            self.per_package().saturating_sub(self.unit)
        }
    }

    /// Packages begun so far.
    #[must_use]
    pub fn packages(&self) -> usize {
        self.package
    }

    fn per_package(&self) -> usize {
        self.amplifier.pinout.amplifiers.max(1)
    }

    fn amplifier_reference(&self) -> String {
        match self.per_package() {
            1 => format!("U{}", self.package),
            _ => format!("U{}{}", self.package, unit_letter(self.unit)),
        }
    }

    fn solder(
        &mut self,
        reference: String,
        element: Element,
        tolerance: Option<Ratio>,
        role: &str,
    ) {
        self.circuit.parts.push(Part {
            reference,
            element,
            tolerance,
            stage: Some(self.stage.clone()),
            role: Some(role.to_owned()),
            note: None,
        });
    }
}

/// A value as it is marked on a part: without the last bits that arithmetic leaves on it.
fn as_marked(si: f64) -> f64 {
    format!("{si:.13e}").parse().unwrap_or(si)
}

fn unit_letter(unit: usize) -> char {
    u8::try_from(unit).map_or('?', |u| char::from(b'A' + u))
}
