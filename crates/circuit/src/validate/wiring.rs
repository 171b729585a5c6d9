//! The circuit seen from its nodes.

use crate::islands::{Islands, SUPPLY_NODE};
use crate::{Circuit, Element, NodeId, Opamp};

use super::fault::{Fault, Severity, Spot};

/// One soldered end: the part's index and the place in [`Element::nodes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Terminal {
    pub(super) part: usize,
    pub(super) place: usize,
}

impl Terminal {
    pub(super) fn spot(self) -> Spot {
        Spot::Terminal(self.part, self.place)
    }
}

/// A circuit with its ends sorted by node.
pub(super) struct Wiring<'a> {
    pub(super) circuit: &'a Circuit,
    /// Ends at each node; supply pins of textbook amplifiers do not count.
    pub(super) ends: Vec<Vec<Terminal>>,
    /// Nodes joined by wires: closed switches, 0 Ω, pots at their stops.
    pub(super) shorts: Islands,
    /// Parts that close a loop of wires.
    pub(super) looping: Vec<usize>,
    /// The positive supply node, if it is named.
    pub(super) vcc: Option<NodeId>,
}

impl<'a> Wiring<'a> {
    pub(super) fn of(circuit: &'a Circuit) -> Self {
        let mut ends = vec![Vec::new(); circuit.nodes.len()];
        let mut shorts = Islands::apart(circuit.nodes.len());
        let mut looping = Vec::new();
        for (part, p) in circuit.parts.iter().enumerate() {
            for (place, node) in p.element.nodes().into_iter().enumerate() {
                if place < 3 || !matches!(&p.element, Element::Opamp(o) if o.model.is_ideal()) {
                    ends[node.0].push(Terminal { part, place });
                }
            }
            for [a, b] in wires(&p.element) {
                if a != b && !shorts.join(a, b) {
                    looping.push(part);
                }
            }
        }
        let vcc = circuit.find_node(SUPPLY_NODE);
        Wiring {
            circuit,
            ends,
            shorts,
            looping,
            vcc,
        }
    }

    /// Name of a node, for a sentence.
    pub(super) fn name(&self, node: NodeId) -> &str {
        self.circuit.node_name(node)
    }

    /// Reference of a part.
    pub(super) fn reference(&self, part: usize) -> &str {
        &self.circuit.parts[part].reference
    }

    /// Whether two nodes are joined by wires.
    pub(super) fn joined(&self, a: NodeId, b: NodeId) -> bool {
        self.shorts.of(a) == self.shorts.of(b)
    }

    /// The rail a node is joined to by wires, if any: 0 V or the fed supply node.
    pub(super) fn rail_at(&self, node: NodeId) -> Option<NodeId> {
        let fed = self.vcc.filter(|_| self.circuit.supply.is_some());
        std::iter::once(NodeId::GROUND)
            .chain(fed)
            .find(|&rail| self.joined(node, rail))
    }

    /// The parts that are wires and join nodes to this one.
    pub(super) fn wires_at(&self, node: NodeId) -> impl Iterator<Item = usize> {
        let parts = self.circuit.parts.iter().enumerate();
        parts
            .filter(move |(_, part)| {
                let mut wires = wires(&part.element).into_iter();
                wires.any(|[a, _]| self.joined(a, node))
            })
            .map(|(index, _)| index)
    }

    /// The amplifiers with their part's index.
    pub(super) fn opamps(&self) -> impl Iterator<Item = (usize, &'a Opamp)> {
        let parts = self.circuit.parts.iter().enumerate();
        parts.filter_map(|(index, part)| match &part.element {
            Element::Opamp(opamp) => Some((index, opamp)),
            _ => None,
        })
    }

    /// Nodes a signal reaches from a node: through two-ended parts either way, through an
    /// amplifier from its inputs to its output, but not across a rail.
    pub(super) fn reached_from(&self, start: NodeId) -> Vec<bool> {
        let mut reached = vec![false; self.ends.len()];
        let mut waiting = vec![start];
        while let Some(node) = waiting.pop() {
            if std::mem::replace(&mut reached[node.0], true) {
                continue;
            }
            if node != start && self.rail_at(node).is_some() {
                continue;
            }
            for end in &self.ends[node.0] {
                waiting.extend(onward(&self.circuit.parts[end.part].element, end.place));
            }
        }
        reached
    }

    /// A fault of which the caller fills in the texts.
    pub(super) fn fault(
        &self,
        id: &'static str,
        severity: Severity,
        parts: &[usize],
        nodes: &[NodeId],
        spots: Vec<Spot>,
    ) -> Fault {
        Fault {
            id,
            severity,
            found: String::new(),
            allowed: String::new(),
            why: "",
            advice: String::new(),
            parts: parts
                .iter()
                .map(|&p| self.reference(p).to_owned())
                .collect(),
            nodes: nodes.iter().map(|&n| self.name(n).to_owned()).collect(),
            spots,
        }
    }
}

/// Where a signal goes on to that enters a part at one of its ends.
fn onward(element: &Element, place: usize) -> Vec<NodeId> {
    match element {
        Element::Opamp(opamp) if place < 2 => vec![opamp.out],
        Element::Opamp(_) => Vec::new(),
        Element::Switch(switch) => {
            let nodes = element.nodes();
            match switch.closed_on() {
                Some(way) if nodes[place] == way || place == 0 => vec![switch.common, way],
                _ => Vec::new(),
            }
        }
        _ => element.nodes(),
    }
}

/// Pairs of nodes a part joins as a wire would.
fn wires(element: &Element) -> Vec<[NodeId; 2]> {
    match element {
        Element::Resistor { value, between } if value.0 == 0.0 => vec![*between],
        Element::Switch(switch) => switch
            .closed_on()
            .map(|way| [switch.common, way])
            .into_iter()
            .collect(),
        Element::Pot(pot) => pot
            .halves()
            .iter()
            .zip(pot.ends)
            .filter(|(half, _)| half.0 == 0.0)
            .map(|(_, end)| [end, pot.wiper])
            .collect(),
        _ => Vec::new(),
    }
}
