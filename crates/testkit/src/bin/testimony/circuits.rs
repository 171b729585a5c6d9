//! Invented networks with op-amps that have limits: their response, node by node.

use crate::complexes;
use crate::netlist::netlist;
use circuit::{Circuit, Element, NodeId, Part};
use parts::{Corner, OpampModel};
use serde_json::{Value, json};
use testkit::awkward::{Stream, network};
use units::{Farads, Hertz, Ohms};

/// Seed of the networks.
const SEED: u64 = 20_652;

/// How many there are.
const COUNT: usize = 40;

/// Frequencies in Hz at which they are heard.
const FREQUENCIES: [f64; 9] = [0.1, 20.0, 130.0, 500.0, 650.0, 1000.0, 3.3e3, 20e3, 1e6];

/// The networks with what we say of them.
pub(crate) fn all() -> Value {
    let mut stream = Stream::new(SEED);
    (0..COUNT).map(|_| one(&mut stream)).collect()
}

/// One network of one to four stages.
fn one(stream: &mut Stream) -> Value {
    let amplifier = amplifier(stream);
    let stages = 1 + stream.below(4);
    let mut circuit = network(stream, &amplifier, stages);
    circuit.source = Ohms(stream.pick(&[0.0, 100.0, 10e3]));
    circuit.load = stream.chance(0.5).then_some(Ohms(10e3));
    let supply = circuit.node("vcc");
    let element = Element::Resistor {
        value: Ohms(100e3),
        between: [supply, NodeId::GROUND],
    };
    circuit.parts.push(Part::new("R99", element));
    said(&circuit)
}

/// What our analyses say of a circuit.
fn said(circuit: &Circuit) -> Value {
    let nodes: Vec<NodeId> = circuit
        .parts
        .iter()
        .filter_map(|part| match &part.element {
            Element::Opamp(opamp) => Some(opamp.out),
            _ => None,
        })
        .collect();
    let heard = circuit::ac::sweep(circuit, &FREQUENCIES.map(Hertz), &nodes);
    let table = heard.unwrap_or_else(|why| panic!("{}: {why:?}", circuit.title));
    let names: Vec<&str> = nodes.iter().map(|&node| circuit.node_name(node)).collect();
    let rows = (0..nodes.len()).map(|node| complexes(table.of(node)));
    json!({
        "circuit": netlist(circuit),
        "frequencies_hz": FREQUENCIES,
        "nodes": names,
        "response": rows.collect::<Vec<_>>(),
    })
}

/// An amplifier with invented limits of the usual size.
fn amplifier(stream: &mut Stream) -> OpampModel {
    OpampModel {
        name: "invented".to_owned(),
        dc_gain: stream.log_between(1e4, 1e7),
        gain_bandwidth: Hertz(stream.log_between(100e3, 30e6)),
        input_resistance: Ohms(stream.log_between(100e3, 1e12)),
        input_capacitance: Farads(stream.between(1e-12, 20e-12)),
        output_resistance: Ohms(stream.pick(&[0.0, 50.0, 600.0])),
        voltage_noise: Corner {
            white: stream.log_between(1e-9, 50e-9),
            corner: Hertz(stream.pick(&[0.0, 30.0, 1e3])),
        },
        current_noise: Corner {
            white: stream.log_between(1e-15, 1e-12),
            corner: Hertz(stream.pick(&[0.0, 200.0])),
        },
        ..OpampModel::ideal()
    }
}
