//! Which nodes direct current can reach.

use crate::{Circuit, Element, NodeId};

/// Name of the positive supply node.
pub(crate) const SUPPLY_NODE: &str = "vcc";

/// Sets of nodes joined together, merged one join at a time.
#[derive(Debug, Clone)]
pub(crate) struct Islands {
    parent: Vec<usize>,
}

impl Islands {
    /// Every node alone.
    pub(crate) fn apart(nodes: usize) -> Self {
        Islands {
            parent: (0..nodes).collect(),
        }
    }

    /// The representative of a node's island.
    pub(crate) fn of(&self, node: NodeId) -> usize {
        let mut at = node.0;
        while self.parent[at] != at {
            at = self.parent[at];
        }
        at
    }

    /// Joins two nodes; false if they were joined already.
    pub(crate) fn join(&mut self, a: NodeId, b: NodeId) -> bool {
        let (a, b) = (self.of(a), self.of(b));
        // The lower index leads, so that the island of the node `0` is island 0.
        self.parent[a.max(b)] = a.min(b);
        a != b
    }

    /// Islands of a circuit as direct current sees it: resistors, coils, pots, closed
    /// switches and diodes conduct; source, load and supply do; an amplifier's output is
    /// driven, its inputs are not.
    pub(crate) fn of_direct_current(circuit: &Circuit) -> Self {
        let mut islands = Islands::apart(circuit.nodes.len());
        islands.join(circuit.input, NodeId::GROUND);
        if circuit.load.is_some() {
            islands.join(circuit.output, NodeId::GROUND);
        }
        if let (Some(_), Some(vcc)) = (&circuit.supply, circuit.find_node(SUPPLY_NODE)) {
            islands.join(vcc, NodeId::GROUND);
        }
        for part in &circuit.parts {
            islands.join_conductor(&part.element);
        }
        islands
    }

    fn join_conductor(&mut self, element: &Element) {
        match element {
            Element::Resistor { between, .. } | Element::Inductor { between, .. } => {
                self.join(between[0], between[1]);
            }
            Element::Diode(diode) => {
                self.join(diode.anode, diode.cathode);
            }
            Element::Pot(pot) => {
                self.join(pot.ends[0], pot.wiper);
                self.join(pot.wiper, pot.ends[1]);
            }
            Element::Switch(switch) => {
                if let Some(way) = switch.closed_on() {
                    self.join(switch.common, way);
                }
            }
            Element::Opamp(opamp) => {
                self.join(opamp.out, NodeId::GROUND);
            }
            Element::Capacitor { .. } => {}
        }
    }

    /// The islands that are not that of the node `0`, each as its nodes in order. Nodes
    /// that nothing is soldered to are left out.
    pub(crate) fn afloat(&self, circuit: &Circuit) -> Vec<Vec<NodeId>> {
        let used = soldered(circuit);
        let mut found: Vec<(usize, Vec<NodeId>)> = Vec::new();
        for node in (1..circuit.nodes.len()).map(NodeId).filter(|n| used[n.0]) {
            let island = self.of(node);
            if island == 0 {
                continue;
            }
            match found.iter_mut().find(|(i, _)| *i == island) {
                Some((_, nodes)) => nodes.push(node),
                None => found.push((island, vec![node])),
            }
        }
        found.into_iter().map(|(_, nodes)| nodes).collect()
    }
}

/// Which nodes some part is soldered to. The supply pins of a textbook amplifier exist on
/// paper only and do not count.
pub(crate) fn soldered(circuit: &Circuit) -> Vec<bool> {
    let mut used = vec![false; circuit.nodes.len()];
    for part in &circuit.parts {
        let nodes = part.element.nodes();
        let real = match &part.element {
            Element::Opamp(opamp) if opamp.model.is_ideal() => 3,
            _ => nodes.len(),
        };
        for node in &nodes[..real] {
            used[node.0] = true;
        }
    }
    used
}
