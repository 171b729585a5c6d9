//! A circuit written down in a few words, for tests.

use circuit::{Circuit, Element, Opamp, Part};
use parts::{Dielectric, OpampModel};
use units::{Farads, Henries, Ohms};

/// A circuit in the making: each call solders one part between named nodes.
pub struct Board {
    /// What has been soldered so far.
    pub circuit: Circuit,
}

impl Board {
    /// An empty board with nodes `in` and `out`, an ideal source and no load.
    #[must_use]
    pub fn new(title: &str) -> Self {
        let mut circuit = Circuit::new(title);
        circuit.input = circuit.node("in");
        circuit.output = circuit.node("out");
        Board { circuit }
    }

    fn solder(mut self, reference: &str, element: Element) -> Self {
        self.circuit.parts.push(Part::new(reference, element));
        self
    }

    fn two(&mut self, a: &str, b: &str) -> [circuit::NodeId; 2] {
        [self.circuit.node(a), self.circuit.node(b)]
    }

    /// A resistor.
    #[must_use]
    pub fn r(mut self, reference: &str, ohms: f64, a: &str, b: &str) -> Self {
        let between = self.two(a, b);
        let value = Ohms(ohms);
        self.solder(reference, Element::Resistor { value, between })
    }

    /// A capacitor.
    #[must_use]
    pub fn c(mut self, reference: &str, farads: f64, a: &str, b: &str) -> Self {
        let between = self.two(a, b);
        self.solder(
            reference,
            Element::Capacitor {
                value: Farads(farads),
                dielectric: Dielectric::Film,
                between,
            },
        )
    }

    /// An inductor with the resistance of its wire.
    #[must_use]
    pub fn l(mut self, reference: &str, henries: f64, ohms: f64, a: &str, b: &str) -> Self {
        let between = self.two(a, b);
        self.solder(
            reference,
            Element::Inductor {
                value: Henries(henries),
                resistance: Ohms(ohms),
                between,
            },
        )
    }

    /// An amplifier on the rails `vcc` and `0`.
    #[must_use]
    pub fn u(mut self, reference: &str, model: &OpampModel, [plus, minus, out]: [&str; 3]) -> Self {
        let rails = self.two("vcc", "0");
        let opamp = Opamp {
            model: model.clone(),
            plus: self.circuit.node(plus),
            minus: self.circuit.node(minus),
            out: self.circuit.node(out),
            rails,
        };
        self.solder(reference, Element::Opamp(opamp))
    }

    /// One multiple-feedback band-pass stage from node `from` to `to`, equal capacitors `farads`,
    /// gain `−gain` at its centre: k = 2π f0 C, R1 = Q/(G k), R2 = Q/((2Q² − G) k), R3 = 2Q/k.
    #[must_use]
    pub fn multiple_feedback(
        self,
        stage: usize,
        [f0, q, gain, farads]: [f64; 4],
        model: &OpampModel,
        [from, to]: [&str; 2],
    ) -> Self {
        let k = std::f64::consts::TAU * f0 * farads;
        let name = |kind: &str, place: usize| format!("{kind}{stage}{place}");
        let (a, b) = (format!("a{stage}"), format!("b{stage}"));
        self.r(&name("R", 1), q / (gain * k), from, &a)
            .r(&name("R", 2), q / ((2.0 * q * q - gain) * k), &a, "0")
            .c(&name("C", 1), farads, &a, to)
            .c(&name("C", 2), farads, &a, &b)
            .r(&name("R", 3), 2.0 * q / k, &b, to)
            .u(&format!("U{stage}"), model, ["0", &b, to])
    }

    /// The finished circuit.
    #[must_use]
    pub fn finish(self) -> Circuit {
        self.circuit
    }
}
