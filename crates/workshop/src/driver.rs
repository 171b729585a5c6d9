//! Which amplifiers drive the output, seen through the parts between.

use circuit::{Circuit, Element, NodeId};
use units::{Amperes, Quantity, Volts};

/// The amplifiers that reach the output node through nothing but resistors and capacitors.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Driver {
    /// Their references, joined by "and".
    pub(crate) names: String,
    /// How many they are.
    pub(crate) count: usize,
    /// Type of the first.
    pub(crate) type_name: String,
    /// Output node of the first.
    pub(crate) node: NodeId,
    /// Sum of their output currents.
    pub(crate) reach: Amperes,
    /// Peak swing of the first on a supply, from mid-way between its ends.
    below_positive: f64,
    above_negative: f64,
}

impl Driver {
    /// The driver of the circuit's output; `None` for a passive circuit or ideal amplifiers.
    pub(crate) fn of(circuit: &Circuit) -> Option<Self> {
        let mut reached = vec![circuit.output];
        let mut next = 0;
        while next < reached.len() {
            let node = reached[next];
            next += 1;
            if amplifiers_at(circuit, node).next().is_none() {
                spread(circuit, node, &mut reached);
            }
        }
        let found: Vec<_> = reached
            .iter()
            .flat_map(|&n| amplifiers_at(circuit, n))
            .collect();
        let (first, _) = found.first()?;
        let total: f64 = found.iter().map(|(o, _)| o.model.output_current.si()).sum();
        if !total.is_finite() {
            return None;
        }
        Some(Driver {
            names: found
                .iter()
                .map(|(_, name)| *name)
                .collect::<Vec<_>>()
                .join(" and "),
            count: found.len(),
            type_name: first.model.name.clone(),
            node: first.out,
            reach: Amperes(total),
            below_positive: first.model.swing.below_positive.si(),
            above_negative: first.model.swing.above_negative.si(),
        })
    }

    /// Half the span between the ends of its swing on this supply, V.
    pub(crate) fn swing_peak(&self, supply: Volts) -> f64 {
        (0.5 * (supply.si() - self.below_positive - self.above_negative)).max(0.0)
    }
}

fn amplifiers_at(circuit: &Circuit, node: NodeId) -> impl Iterator<Item = (&circuit::Opamp, &str)> {
    circuit.parts.iter().filter_map(move |p| match &p.element {
        Element::Opamp(o) if o.out == node => Some((o, p.reference.as_str())),
        _ => None,
    })
}

fn spread(circuit: &Circuit, node: NodeId, reached: &mut Vec<NodeId>) {
    for part in &circuit.parts {
        let (Element::Resistor { between, .. } | Element::Capacitor { between, .. }) =
            &part.element
        else {
            continue;
        };
        for (near, far) in [(between[0], between[1]), (between[1], between[0])] {
            let rail = far == NodeId::GROUND || circuit.node_name(far) == "vcc";
            if near == node && !rail && !reached.contains(&far) {
                reached.push(far);
            }
        }
    }
}
