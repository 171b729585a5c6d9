//! Invented networks of resistors, capacitors and op-amps: nobody's filter, everybody's trouble.

use super::{Stream, farads, ohms};
use circuit::{Circuit, Element, NodeId, Opamp, Part};
use parts::{Dielectric, OpampModel};
use units::{Farads, Ohms};

/// A chain of inverting stages of that op-amp with further parts soldered in anywhere.
///
/// Every inner node has a resistor to its neighbour and every amplifier one from its output to
/// its inverting input, so there is always a DC path and a DC operating point. The signal goes
/// from the node `in` to the output of the last amplifier; supply nodes are `vcc` and `0` (no
/// part of the supply itself is there, so the amplifier must not need one, or the caller adds it).
pub fn network(stream: &mut Stream, amplifier: &OpampModel, stages: usize) -> Circuit {
    let mut maker = Maker {
        circuit: Circuit::new("invented network"),
        stream,
    };
    let input = maker.circuit.node("in");
    maker.circuit.input = input;
    let rails = [maker.circuit.node("vcc"), NodeId::GROUND];
    let mut from = input;
    let mut inner = vec![input];
    for stage in 1..=stages {
        let [a, b, out] =
            ["a", "b", "out"].map(|name| maker.circuit.node(&format!("{name}{stage}")));
        maker.resistor([from, a]);
        maker.resistor([a, b]);
        maker.resistor([b, out]);
        maker.capacitor([a, out]);
        let back = maker.any(&inner);
        maker.capacitor([b, back]);
        let opamp = Opamp {
            model: amplifier.clone(),
            plus: NodeId::GROUND,
            minus: b,
            out,
            rails,
        };
        maker.add("U", Element::Opamp(opamp));
        inner.extend([a, out]);
        from = out;
    }
    for _ in 0..maker.stream.below(2 * stages + 1) {
        maker.stray(&inner);
    }
    maker.circuit.output = from;
    maker.circuit
}

/// The network while it grows.
struct Maker<'a> {
    circuit: Circuit,
    stream: &'a mut Stream,
}

impl Maker<'_> {
    /// Any node of a list, or 0 V.
    fn any(&mut self, nodes: &[NodeId]) -> NodeId {
        if self.stream.chance(0.5) {
            NodeId::GROUND
        } else {
            self.stream.pick(nodes)
        }
    }

    /// A part between any two nodes, or none when they are the same.
    fn stray(&mut self, nodes: &[NodeId]) {
        let between = [self.stream.pick(nodes), self.any(nodes)];
        if between[0] == between[1] {
            return;
        }
        if self.stream.chance(0.5) {
            self.resistor(between);
        } else {
            self.capacitor(between);
        }
    }

    fn resistor(&mut self, between: [NodeId; 2]) {
        let value = Ohms(ohms(self.stream));
        self.add("R", Element::Resistor { value, between });
    }

    fn capacitor(&mut self, between: [NodeId; 2]) {
        let value = Farads(farads(self.stream));
        let dielectric = Dielectric::Film;
        let element = Element::Capacitor {
            value,
            dielectric,
            between,
        };
        self.add("C", element);
    }

    /// Adds a part under the next reference of its letter.
    fn add(&mut self, letter: &str, element: Element) {
        let same = |part: &&Part| part.reference.starts_with(letter);
        let number = self.circuit.parts.iter().filter(same).count() + 1;
        let part = Part::new(&format!("{letter}{number}"), element);
        self.circuit.parts.push(part);
    }
}

#[cfg(test)]
mod tests {
    use super::super::Stream;
    use super::network;
    use parts::OpampModel;
    use std::collections::BTreeSet;

    /// Invariant: the same seed gives the same network; references are unique and every node is
    /// used by two parts or more, or is an end of the chain.
    #[test]
    fn networks_repeat_and_hang_together() {
        for seed in 0..50 {
            let make = || network(&mut Stream::new(seed), &OpampModel::ideal(), 3);
            let circuit = make();
            assert_eq!(circuit, make());
            let names: BTreeSet<_> = circuit.parts.iter().map(|p| &p.reference).collect();
            assert_eq!(names.len(), circuit.parts.len());
            for part in &circuit.parts {
                let nodes = part.element.nodes();
                assert!(nodes[0] != nodes[1], "seed {seed}: {part:?}");
            }
        }
    }
}
