//! What a meter should show at the first power-up.

use crate::report::{CheckReport, PinVolts};
use circuit::dc::operating_point;
use circuit::{Circuit, Element, NodeId, Part};
use sheet::{PinVoltage, PowerUp};
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
        .map(|r| (Ohms(r), Volts(r * current)));
    Some(PowerUp {
        supply,
        current: Amperes(current),
        stop_above: Amperes(STOP * current),
        series,
        mid: mid_supply(circuit, report, supply)
            .map(|(node, volts)| (metered(circuit, node, volts), within)),
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
/// that rests between a quarter and three quarters of the supply, with its voltage.
fn mid_supply(circuit: &Circuit, report: &CheckReport, supply: Volts) -> Option<(NodeId, Volts)> {
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
        .map(|(k, v)| (NodeId(k), Volts(v)))
}
