//! The circuit as a builder sees it: parts with references, nodes with names.

mod diode_kind;
mod package;
mod part;

pub use diode_kind::DiodeKind;
pub use package::Package;
pub use part::{Diode, Element, NodeId, Opamp, Part, Pot, Switch, Taper};
use units::{AmpereHours, Ohms, Volts};

/// Supply between the node `vcc` and the node `0`.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Voltage when fresh.
    pub voltage: Volts,
    /// Voltage at which the box must still work.
    pub lowest: Option<Volts>,
    /// Battery capacity.
    pub capacity: Option<AmpereHours>,
}

/// One circuit: what `circuit.toml` holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// What the user calls it.
    pub title: String,
    /// Node names; index 0 is always `"0"`, the 0 V rail.
    pub nodes: Vec<String>,
    /// Node driven by the source through its impedance.
    pub input: NodeId,
    /// Node that is listened to.
    pub output: NodeId,
    /// Source impedance in series with the open-circuit source voltage.
    pub source: Ohms,
    /// Load from the output node to 0 V; `None` is an open circuit.
    pub load: Option<Ohms>,
    /// The supply; `None` where only ideal amplifiers stand.
    pub supply: Option<Supply>,
    /// The parts, in the order of the file.
    pub parts: Vec<Part>,
}

impl Circuit {
    /// An empty circuit whose only node is `"0"`; input and output are to be set.
    #[must_use]
    pub fn new(title: &str) -> Self {
        Circuit {
            title: title.to_owned(),
            nodes: vec!["0".to_owned()],
            input: NodeId::GROUND,
            output: NodeId::GROUND,
            source: Ohms(0.0),
            load: None,
            supply: None,
            parts: Vec::new(),
        }
    }

    /// The node of that name, made when it is new.
    pub fn node(&mut self, name: &str) -> NodeId {
        self.find_node(name).unwrap_or_else(|| {
            self.nodes.push(name.to_owned());
            NodeId(self.nodes.len() - 1)
        })
    }

    /// The node of that name, if there is one.
    #[must_use]
    pub fn find_node(&self, name: &str) -> Option<NodeId> {
        self.nodes.iter().position(|n| n == name).map(NodeId)
    }

    /// The name of a node.
    #[must_use]
    pub fn node_name(&self, node: NodeId) -> &str {
        &self.nodes[node.0]
    }

    /// The same circuit with its nodes numbered in the order in which its file names
    /// them: `0`, input, output, then as the parts come. Nodes nothing is soldered to
    /// are dropped.
    #[must_use]
    pub fn in_reading_order(&self) -> Circuit {
        let mut ordered = Circuit {
            nodes: vec![self.nodes[0].clone()],
            parts: Vec::with_capacity(self.parts.len()),
            title: self.title.clone(),
            supply: self.supply.clone(),
            ..*self
        };
        ordered.input = ordered.node(self.node_name(self.input));
        ordered.output = ordered.node(self.node_name(self.output));
        for part in &self.parts {
            let mut part = part.clone();
            part.element
                .rewire(|node| ordered.node(self.node_name(node)));
            ordered.parts.push(part);
        }
        ordered
    }

    /// Index of the part with that reference.
    #[must_use]
    pub fn find_part(&self, reference: &str) -> Option<usize> {
        self.parts.iter().position(|p| p.reference == reference)
    }
}
