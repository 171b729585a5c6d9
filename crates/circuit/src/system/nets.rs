//! Nodes joined without resistance are one net; nets at 0 V for the signal are no unknown.

use crate::{Circuit, Element, NodeId};

/// Disjoint sets of nodes, each with its least node as the head.
pub(super) struct Nets {
    head: Vec<usize>,
    touched: Vec<bool>,
}

impl Nets {
    /// Joins what closed switches, wire links and pots at an end stop join, and the supply
    /// rail `vcc` with `0`.
    pub(super) fn of(circuit: &Circuit) -> Self {
        let count = circuit.nodes.len();
        let mut nets = Nets {
            head: (0..count).collect(),
            touched: vec![false; count],
        };
        if let Some(rail) = circuit.find_node("vcc") {
            nets.join(rail, NodeId::GROUND);
        }
        nets.touch(circuit.input);
        nets.touch(circuit.output);
        for part in &circuit.parts {
            nets.visit(&part.element);
        }
        nets
    }

    fn visit(&mut self, element: &Element) {
        if let Element::Opamp(opamp) = element {
            // Supply pins carry no signal in this model.
            for node in [opamp.plus, opamp.minus, opamp.out] {
                self.touch(node);
            }
            return;
        }
        for node in element.nodes() {
            self.touch(node);
        }
        match element {
            Element::Resistor { value, between } if value.0 == 0.0 => {
                self.join(between[0], between[1]);
            }
            Element::Inductor {
                value,
                resistance,
                between,
            } if value.0 == 0.0 && resistance.0 == 0.0 => self.join(between[0], between[1]),
            Element::Pot(pot) => {
                for (half, end) in pot.halves().iter().zip(pot.ends) {
                    if half.0 == 0.0 {
                        self.join(end, pot.wiper);
                    }
                }
            }
            Element::Switch(switch) => {
                if let Some(way) = switch.closed_on() {
                    self.join(switch.common, way);
                }
            }
            _ => {}
        }
    }

    fn touch(&mut self, node: NodeId) {
        self.touched[node.0] = true;
    }

    fn join(&mut self, a: NodeId, b: NodeId) {
        let (a, b) = (self.find(a.0), self.find(b.0));
        let (low, high) = (a.min(b), a.max(b));
        self.head[high] = low;
    }

    fn find(&self, mut node: usize) -> usize {
        while self.head[node] != node {
            node = self.head[node];
        }
        node
    }

    /// The unknown of every node, and the nodes of every unknown, in order of first node.
    pub(super) fn number(&self) -> (Vec<Option<usize>>, Vec<Vec<NodeId>>) {
        let count = self.head.len();
        let mut members: Vec<Vec<NodeId>> = vec![Vec::new(); count];
        for node in (0..count).filter(|&k| self.touched[k]) {
            members[self.find(node)].push(NodeId(node));
        }
        let mut of_node = vec![None; count];
        let mut nets = Vec::new();
        for (head, nodes) in members.into_iter().enumerate() {
            if head == 0 || nodes.is_empty() {
                continue;
            }
            for node in &nodes {
                of_node[node.0] = Some(nets.len());
            }
            nets.push(nodes);
        }
        (of_node, nets)
    }
}
