//! What a meter should show at the first power-up.

use crate::report::{CheckReport, PinVolts};
use circuit::dc::operating_point;
use circuit::{Circuit, Element, NodeId, Part};
use sheet::{FirstTry, HalfSupply, PinVoltage, PowerUp};
use units::{Amperes, Ohms, Quantity, Volts};

/// How far a pin may be off: 5 % of the supply covers 5 % divider resistors and offsets
/// (common practice).
const PIN_SHARE: f64 = 0.05;
/// Current above which to switch off, as a multiple of the expected one (common practice).
const STOP: f64 = 2.0;
/// Drop across the first-try resistor that the circuit still works with, as a share.
const SERIES_SHARE: f64 = 0.15;
/// Resistance of the meter that reads the pins, ohm (common practice).
const METER: f64 = 10e6;
/// How far 0 V itself may read off, V.
const AT_ZERO: f64 = 0.02;
/// Usual first-try resistors, largest first, ohm (common practice: about 100 Ω).
const SERIES: [f64; 4] = [100.0, 47.0, 22.0, 10.0];

/// The first power-up; `None` for a circuit without a supply.
pub(crate) fn power_up(circuit: &Circuit, report: &CheckReport) -> Option<PowerUp> {
    let supply = circuit.supply.as_ref()?.voltage;
    let current = report.supply.current_a?;
    let within = Volts(PIN_SHARE * supply.si());
    let series = SERIES
        .into_iter()
        .find(|r| r * current <= SERIES_SHARE * supply.si())
        .map(|r| FirstTry {
            value: Ohms(r),
            drop: Volts(r * current),
            stop_above: Volts(r * STOP * current),
        });
    let rests = |node: NodeId| {
        let name = circuit.node_name(node);
        let found = report.dc.nodes.iter().find(|n| n.node == name);
        found.map(|n| Volts(n.volts))
    };
    let half = |node: NodeId, place: String| {
        rests(node).map(|volts| HalfSupply {
            place,
            expected: metered(circuit, node, volts),
            within,
        })
    };
    let mid = mid_supply(circuit, report, supply);
    let divider = mid.map(|node| follower_of(circuit, node).map_or(node, |(plus, _)| plus));
    Some(PowerUp {
        supply,
        current: Amperes(current),
        stop_above: Amperes(STOP * current),
        series,
        divider: divider.and_then(|node| half(node, divider_place(circuit, node))),
        mid: mid.and_then(|node| half(node, mid_place(circuit, node))),
        pins: report
            .dc
            .pins
            .iter()
            .map(|p| pin(circuit, p, within))
            .collect(),
    })
}

fn pin(circuit: &Circuit, p: &PinVolts, within: Volts) -> PinVoltage {
    let node = circuit.find_node(&p.node).unwrap_or(NodeId::GROUND);
    let ground = node == NodeId::GROUND;
    PinVoltage {
        package: p.package.clone(),
        pin: p.pin,
        function: p.function.clone(),
        expected: metered(circuit, node, Volts(p.volts)),
        within: if ground { Volts(AT_ZERO) } else { within },
    }
}

/// What the meter shows at a node that rests at `volts`: the meter loads it. Where the
/// loaded circuit has no operating point, the voltage without the meter.
fn metered(circuit: &Circuit, node: NodeId, volts: Volts) -> Volts {
    if node == NodeId::GROUND {
        return volts;
    }
    let mut loaded = circuit.clone();
    let meter = Element::Resistor {
        value: Ohms(METER),
        between: [node, NodeId::GROUND],
    };
    loaded.parts.push(Part::new("meter", meter));
    operating_point(&loaded).map_or(volts, |rest| rest.volts(node))
}

/// The node that most amplifiers take for their zero: the commonest + input
/// that rests between a quarter and three quarters of the supply.
fn mid_supply(circuit: &Circuit, report: &CheckReport, supply: Volts) -> Option<NodeId> {
    let mut counts = vec![0usize; circuit.nodes.len()];
    for part in &circuit.parts {
        if let Element::Opamp(o) = &part.element {
            counts[o.plus.0] += 1;
        }
    }
    let volts = |k: usize| {
        report
            .dc
            .nodes
            .iter()
            .find(|n| n.node == circuit.nodes[k])
            .map(|n| n.volts)
    };
    (1..counts.len())
        .filter(|&k| counts[k] > 0)
        .filter_map(|k| volts(k).map(|v| (k, v)))
        .filter(|(_, v)| (0.25..0.75).contains(&(v / supply.si())))
        .max_by_key(|(k, _)| counts[*k])
        .map(|(k, _)| NodeId(k))
}

/// The + input and the reference of the follower whose output a node is, if there is one.
fn follower_of(circuit: &Circuit, node: NodeId) -> Option<(NodeId, &Part)> {
    circuit.parts.iter().find_map(|part| match &part.element {
        Element::Opamp(o) if o.out == node && o.minus == node => Some((o.plus, part)),
        _ => None,
    })
}

/// Where to probe the divider: between its two resistors, or the node by name.
fn divider_place(circuit: &Circuit, node: NodeId) -> String {
    let to = |rail: NodeId| {
        circuit.parts.iter().find(|part| match &part.element {
            Element::Resistor { between, .. } => between.contains(&node) && between.contains(&rail),
            _ => false,
        })
    };
    let upper = circuit.find_node("vcc").and_then(to);
    match (upper, to(NodeId::GROUND)) {
        (Some(upper), Some(lower)) => {
            format!("where {} and {} meet", upper.reference, lower.reference)
        }
        _ => format!("node {}", circuit.node_name(node)),
    }
}

/// Where to probe half supply: at the follower that makes it, or at the divider.
fn mid_place(circuit: &Circuit, node: NodeId) -> String {
    let Some((_, part)) = follower_of(circuit, node) else {
        return divider_place(circuit, node);
    };
    let package = part.package();
    let pin = match &part.element {
        Element::Opamp(o) => o.model.pinout.units.get(package.place()).map(|u| u.2),
        _ => None,
    };
    pin.map_or_else(
        || format!("node {}", circuit.node_name(node)),
        |pin| format!("{} pin {pin}", package.name),
    )
}
