//! A circuit as JSON: the parts with their nodes by name, nothing solved.

use circuit::{Circuit, Element, NodeId, Opamp};
use serde_json::{Value, json};

/// The whole circuit.
pub(crate) fn netlist(circuit: &Circuit) -> Value {
    let parts: Vec<Value> = circuit
        .parts
        .iter()
        .map(|part| {
            let mut body = element(circuit, &part.element);
            body["ref"] = json!(part.reference);
            body["kind"] = json!(part.element.kind());
            body
        })
        .collect();
    json!({
        "input": circuit.node_name(circuit.input),
        "output": circuit.node_name(circuit.output),
        "source_ohm": circuit.source.0,
        "load_ohm": circuit.load.map(|load| load.0),
        "parts": parts,
    })
}

/// The numbers and nodes of one part.
fn element(circuit: &Circuit, element: &Element) -> Value {
    let names = |nodes: &[NodeId]| -> Vec<&str> {
        nodes.iter().map(|&node| circuit.node_name(node)).collect()
    };
    match element {
        Element::Resistor { value, between } => {
            json!({ "ohm": value.0, "between": names(between) })
        }
        Element::Capacitor { value, between, .. } => {
            json!({ "farad": value.0, "between": names(between) })
        }
        Element::Inductor {
            value,
            resistance,
            between,
        } => json!({ "henry": value.0, "ohm": resistance.0, "between": names(between) }),
        Element::Opamp(amplifier) => opamp(circuit, amplifier),
        Element::Diode(diode) => json!({
            "anode": circuit.node_name(diode.anode),
            "cathode": circuit.node_name(diode.cathode),
            "saturation_a": diode.saturation_a,
            "ideality": diode.ideality,
        }),
        Element::Pot(pot) => json!({
            "halves_ohm": pot.halves().map(|half| half.0),
            "ends": names(&pot.ends),
            "wiper": circuit.node_name(pot.wiper),
        }),
        Element::Switch(switch) => json!({
            "common": circuit.node_name(switch.common),
            "closed_on": switch.closed_on().map(|node| circuit.node_name(node)),
        }),
    }
}

/// An op-amp; what is infinite is null.
fn opamp(circuit: &Circuit, amplifier: &Opamp) -> Value {
    let model = &amplifier.model;
    let finite = |x: f64| x.is_finite().then_some(x);
    json!({
        "plus": circuit.node_name(amplifier.plus),
        "minus": circuit.node_name(amplifier.minus),
        "out": circuit.node_name(amplifier.out),
        "type": model.name,
        "dc_gain": finite(model.dc_gain),
        "gain_bandwidth_hz": finite(model.gain_bandwidth.0),
        "input_ohm": finite(model.input_resistance.0),
        "input_farad": model.input_capacitance.0,
        "output_ohm": model.output_resistance.0,
        "voltage_noise": [model.voltage_noise.white, model.voltage_noise.corner.0],
        "current_noise": [model.current_noise.white, model.current_noise.corner.0],
    })
}
