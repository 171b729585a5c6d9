//! Invented networks with op-amps that have limits: response node by node, poles, zeros; and
//! cascades of real stages with such op-amps, with every figure of response and ringing.

use crate::complexes;
use crate::netlist::netlist;
use circuit::figures::Study;
use circuit::noise::{Band, Owner, ROOM_K};
use circuit::poles::Root;
use circuit::system::System;
use circuit::{Circuit, Element, NodeId, Part};
use filter::approximation::{bessel, butterworth, synchronous};
use filter::bandpass::{all_band_pass, resonators};
use filter::topology::{Board, Ports, Topology};
use parts::{Corner, OpampModel};
use serde_json::{Value, json};
use testkit::awkward::{Stream, network};
use units::{Farads, Hertz, Ohms};

/// Seed of the networks.
const SEED: u64 = 20_652;

/// How many there are.
const COUNT: usize = 24;

/// Frequencies in Hz at which they are heard.
const FREQUENCIES: [f64; 9] = [0.1, 20.0, 130.0, 500.0, 650.0, 1000.0, 3.3e3, 20e3, 1e6];

/// The networks with what we say of them.
pub(crate) fn networks() -> Value {
    let mut stream = Stream::new(SEED);
    (0..COUNT).map(|_| one(&mut stream)).collect()
}

/// Cascades of one to four multiple-feedback stages with what we say of them.
pub(crate) fn filters() -> Value {
    let mut stream = Stream::new(SEED + 1);
    let mut list = Vec::new();
    for order in 1..=4 {
        for (family, prototype) in [
            ("butterworth", butterworth(order)),
            ("bessel", bessel(order)),
            ("synchronous", synchronous(order)),
        ] {
            let Ok(prototype) = prototype else { continue };
            let pitch = stream.pick(&[450.0, 650.0, 800.0]);
            let width = stream.pick(&[80.0, 180.0, 300.0]);
            let resonators = resonators(&prototype, Hertz(pitch), Hertz(width));
            let circuit = cascade(&all_band_pass(&resonators), &mut stream);
            let mut body = said(&circuit);
            body["family"] = json!(family);
            body["order"] = json!(order);
            body["centre_hz"] = json!(pitch);
            body["figures"] = figures(&circuit, pitch * stream.between(0.98, 1.02));
            list.push(body);
        }
    }
    Value::Array(list)
}

/// Stages in a row, each of gain 1 at its own peak, fed through a source impedance.
fn cascade(sections: &[filter::Section], stream: &mut Stream) -> Circuit {
    let mut circuit = Circuit::new("cascade");
    let input = circuit.node("in");
    circuit.input = input;
    circuit.output = input;
    circuit.source = Ohms(100.0);
    circuit.load = Some(Ohms(10e3));
    let amplifier = OpampModel {
        gain_bandwidth: Hertz(stream.log_between(1e6, 10e6)),
        ..amplifier(stream)
    };
    let mut board = Board::new(circuit, &amplifier, [NodeId::GROUND; 2]);
    let mut from = input;
    for (index, section) in sections.iter().enumerate() {
        board.begin(&format!("{}", index + 1));
        let output = board.circuit.node(&format!("out{}", index + 1));
        let capacitors = [stream.pick(&[4.7e-9, 10e-9, 22e-9]), 10e-9];
        let topology = Topology::MultipleFeedbackBandPass;
        let values = topology.ideal(section, 1.0, &capacitors);
        let values = values.unwrap_or_else(|| panic!("no stage for {section:?}"));
        let ports = Ports {
            input: from,
            output,
            mid: NodeId::GROUND,
        };
        topology.build(&mut board, ports, &values);
        from = output;
    }
    board.circuit.output = from;
    board.circuit
}

/// Figures of response and ringing for a listener at that pitch.
fn figures(circuit: &Circuit, pitch: f64) -> Value {
    let system = System::build(circuit).expect("invented circuits have equations");
    let mut study = Study::new(circuit, &system).expect("invented circuits have poles");
    let response = study.response(pitch, &[0.9 * pitch, pitch, 1.3 * pitch]);
    let ringing = study.ringing(pitch, 20.0, &[]);
    let points: Vec<Value> = response
        .points
        .iter()
        .map(|p| json!([p.f_hz, p.gain_db, p.phase_deg, p.delay_s]))
        .collect();
    let noise = study.noise(pitch, Band::default());
    let by_part: Vec<Value> = noise
        .by_part
        .iter()
        .map(|part| json!([owner(circuit, part.owner), part.output_v_rms]))
        .collect();
    json!({
        "noise": {
            "temperature_k": ROOM_K,
            "output_v_rms": noise.output_v_rms,
            "input_density_v_rthz": noise.input_density_v_rthz,
            "by_part": by_part,
        },
        "pitch_hz": pitch,
        "speed_wpm": 20.0,
        "points": points,
        "peak_db": response.peak_db,
        "edges_3db_hz": response.edges_3db_hz.map(|(low, high)| [low, high]),
        "edges_6db_hz": response.edges_6db_hz.map(|(low, high)| [low, high]),
        "noise_width_hz": response.noise_width_hz,
        "tail_20db_s": ringing.tail_20db_s,
        "tail_40db_s": ringing.tail_40db_s,
        "overshoot_db": ringing.overshoot_db,
        "gap_quiet_share": ringing.gap_quiet_share,
    })
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
    let table = circuit::ac::sweep(circuit, &FREQUENCIES.map(Hertz), &nodes)
        .expect("invented circuits have a response");
    let names: Vec<&str> = nodes.iter().map(|&node| circuit.node_name(node)).collect();
    let rows = (0..nodes.len()).map(|node| complexes(table.of(node)));
    let system = System::build(circuit).expect("invented circuits have equations");
    let mut study = Study::new(circuit, &system).expect("invented circuits have poles");
    let densities = FREQUENCIES.map(|f| study.noise_density(f, ROOM_K));
    json!({
        "circuit": netlist(circuit),
        "noise_density_v2_hz": densities,
        "temperature_k": ROOM_K,
        "poles": roots(study.poles()),
        "zeros": roots(&study.zeros().expect("invented circuits have zeros")),
        "frequencies_hz": FREQUENCIES,
        "nodes": names,
        "response": rows.collect::<Vec<_>>(),
    })
}

/// The reference of whoever makes a noise.
fn owner(circuit: &Circuit, owner: Owner) -> &str {
    match owner {
        Owner::Part(index) => &circuit.parts[index].reference,
        Owner::Source => "source",
        Owner::Load => "load",
    }
}

/// Roots with both halves of every pair.
fn roots(upper: &[Root]) -> Value {
    let both = upper.iter().flat_map(|root| {
        let mirrored = root.is_pair().then(|| root.s().conj());
        std::iter::once(root.s()).chain(mirrored)
    });
    complexes(both)
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
