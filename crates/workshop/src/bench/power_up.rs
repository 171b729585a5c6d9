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
    let made = mid.map(|node| follower_of(circuit, node).map_or(node, |(plus, _)| plus));
    Some(PowerUp {
        supply,
        current: Amperes(current),
        stop_above: Amperes(STOP * current),
        series,
        divider: made.and_then(|node| half(node, divider_place(circuit, node))),
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

/// The node that most amplifiers take for their zero: the commonest + input that rests
/// between a quarter and three quarters of the supply, one that a divider or its follower
/// makes before any other.
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
        .filter(|&k| counts[k] > 0 || divider(circuit, NodeId(k)).is_some())
        .filter_map(|k| volts(k).map(|v| (k, v)))
        .filter(|(_, v)| (0.25..0.75).contains(&(v / supply.si())))
        .max_by_key(|(k, _)| {
            let node = NodeId(*k);
            let source = follower_of(circuit, node).map_or(node, |(plus, _)| plus);
            (divider(circuit, source).is_some(), counts[*k])
        })
        .map(|(k, _)| NodeId(k))
}

/// The + input and the reference of the follower whose output a node is, if there is one.
fn follower_of(circuit: &Circuit, node: NodeId) -> Option<(NodeId, &Part)> {
    circuit.parts.iter().find_map(|part| match &part.element {
        Element::Opamp(o) if o.out == node && o.minus == node => Some((o.plus, part)),
        _ => None,
    })
}

/// The resistors from the supply to a node and from there to 0 V.
fn divider(circuit: &Circuit, node: NodeId) -> Option<[&Part; 2]> {
    let to = |rail: NodeId| {
        circuit.parts.iter().find(|part| match &part.element {
            Element::Resistor { between, .. } => between.contains(&node) && between.contains(&rail),
            _ => false,
        })
    };
    let upper = circuit.find_node("vcc").and_then(to)?;
    Some([upper, to(NodeId::GROUND)?])
}

/// Where to probe the divider: between its two resistors, or the node by name.
fn divider_place(circuit: &Circuit, node: NodeId) -> String {
    match divider(circuit, node) {
        Some([upper, lower]) => format!("where {} and {} meet", upper.reference, lower.reference),
        None => format!("node {}", circuit.node_name(node)),
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

#[cfg(test)]
mod tests {
    //! Order of trust: closed form (a divider), then two routes: the operating point with
    //! the meter soldered in against Thévenin's theorem, whose resistance comes from the
    //! small-signal solver; the two share no equations.
    use super::*;
    use circuit::ac::sweep;
    use units::Hertz;

    const BOXES: [(&str, &str); 4] = [
        (
            "old box",
            include_str!("../../../../examples/attic/old-box.toml"),
        ),
        (
            "multiple feedback",
            include_str!("../../../sheet/tests/boards/planned/two_alike_phones.toml"),
        ),
        (
            "rings",
            include_str!("../../../sheet/tests/boards/planned/two_nulls_phones.toml"),
        ),
        (
            "Sallen–Key, buffered half supply",
            include_str!("../../../sheet/tests/boards/planned/unity_sallen_key_phones.toml"),
        ),
    ];

    /// A hundredth of the last digit that the sheet prints, V.
    const NEAR: f64 = 1e-4;
    /// Slow enough for every capacitor to be open, Hz.
    const AT_REST: Hertz = Hertz(1e-6);

    fn unloaded(circuit: &Circuit, node: NodeId) -> Volts {
        operating_point(circuit).expect("it rests").volts(node)
    }

    /// Thévenin: `v·R/(R + Z)` is `v (1 − H)` with `H = Z/(R + Z)`, the response at the node
    /// to a source that stands behind the meter's resistance.
    fn by_thevenin(circuit: &Circuit, node: NodeId) -> f64 {
        let mut driven = circuit.clone();
        let source = Element::Resistor {
            value: circuit.source,
            between: [circuit.input, NodeId::GROUND],
        };
        driven.parts.push(Part::new("source", source));
        driven.input = node;
        driven.source = Ohms(METER);
        let table = sweep(&driven, &[AT_REST], &[node]).expect("it solves");
        unloaded(circuit, node).si() * (1.0 - table.at(0, 0).re)
    }

    #[test]
    fn the_meter_loads_each_pin_as_thevenin_says() {
        let mut shifted = 0;
        for (name, text) in BOXES {
            let circuit = circuit::read(name, text).expect("a circuit");
            for part in &circuit.parts {
                let Element::Opamp(o) = &part.element else {
                    continue;
                };
                for node in [o.plus, o.minus, o.out] {
                    let free = unloaded(&circuit, node);
                    let shown = metered(&circuit, node, free).si();
                    let wanted = by_thevenin(&circuit, node);
                    let place = circuit.node_name(node);
                    assert!(
                        (shown - wanted).abs() < NEAR,
                        "{name}, {place}: {shown} V, {wanted} V"
                    );
                    shifted += usize::from((shown - free.si()).abs() > 0.005);
                }
            }
        }
        // Otherwise the test would pass with no meter at all.
        assert!(shifted > 0, "no pin moves by a printed digit");
    }

    #[test]
    fn the_meter_loads_a_divider_by_the_textbook() {
        let (upper, lower) = (1e6, 2.2e6);
        let mut circuit = Circuit::new("divider");
        circuit.supply = Some(circuit::Supply {
            voltage: Volts(9.0),
            lowest: None,
            capacity: None,
        });
        let (vcc, mid) = (circuit.node("vcc"), circuit.node("mid"));
        for (reference, value, between) in [
            ("R1", upper, [vcc, mid]),
            ("R2", lower, [mid, NodeId::GROUND]),
            ("R3", 1e3, [circuit.node("in"), NodeId::GROUND]),
        ] {
            let value = Ohms(value);
            let element = Element::Resistor { value, between };
            circuit.parts.push(Part::new(reference, element));
        }
        circuit.input = circuit.node("in");
        circuit.output = mid;
        let loaded = lower * METER / (lower + METER);
        let wanted = 9.0 * loaded / (loaded + upper);
        let free = unloaded(&circuit, mid);
        let shown = metered(&circuit, mid, free).si();
        assert!((shown - wanted).abs() < NEAR, "{shown} V, {wanted} V");
        assert!(free.si() - shown > 0.3, "{free} without the meter");
    }
}
