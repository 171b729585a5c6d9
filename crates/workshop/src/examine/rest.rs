//! Figures at rest: supply current, battery life, DC voltages of nodes and pins.

use crate::report::{Dc, NodeVolts, PinVolts, Supply};
use circuit::dc::OperatingPoint;
use circuit::{Circuit, Element};
use units::Quantity;

pub(super) fn supply(circuit: &Circuit, rest: &OperatingPoint) -> Supply {
    let current = rest.supply_current.si();
    let capacity = circuit.supply.as_ref().and_then(|s| s.capacity);
    Supply {
        current_a: circuit.supply.as_ref().map(|_| current),
        battery_h: capacity.filter(|_| current > 0.0).map(|c| c.si() / current),
    }
}

pub(super) fn dc(circuit: &Circuit, rest: &OperatingPoint) -> Dc {
    let nodes = circuit
        .nodes
        .iter()
        .zip(&rest.nodes)
        .map(|(node, volts)| NodeVolts {
            node: node.clone(),
            volts: volts.si(),
        })
        .collect();
    Dc {
        nodes,
        pins: pins(circuit, rest),
    }
}

fn pins(circuit: &Circuit, rest: &OperatingPoint) -> Vec<PinVolts> {
    let mut pins: Vec<PinVolts> = Vec::new();
    for part in &circuit.parts {
        let Element::Opamp(o) = &part.element else {
            continue;
        };
        let (package, unit) = (part.package().name, part.package().place());
        let letter = (b'A' + unit as u8) as char;
        let pinout = &o.model.pinout;
        let Some(&(plus, minus, out)) = pinout.units.get(unit) else {
            continue;
        };
        let each = [
            (out, format!("output {letter}"), o.out),
            (minus, format!("− input {letter}"), o.minus),
            (plus, format!("+ input {letter}"), o.plus),
            (pinout.positive, "positive supply".to_owned(), o.rails[0]),
            (pinout.negative, "negative supply".to_owned(), o.rails[1]),
        ];
        for (pin, function, node) in each {
            if pins.iter().any(|p| p.package == package && p.pin == pin) {
                continue;
            }
            pins.push(PinVolts {
                package: package.to_owned(),
                pin,
                function,
                node: circuit.node_name(node).to_owned(),
                volts: rest.volts(node).si(),
            });
        }
    }
    pins.sort_by(|a, b| (&a.package, a.pin).cmp(&(&b.package, b.pin)));
    pins
}
