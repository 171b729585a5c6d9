//! Every topology alone with ideal op-amps: its netlist, and its closed form.

use crate::band_passes::section;
use crate::complexes;
use crate::netlist::netlist;
use circuit::figures::Study;
use circuit::system::System;
use circuit::{Circuit, NodeId};
use filter::topology::{Board, Ports, Rule, Topology};
use filter::{CapacitorRule, PartRules, ResistorRule, Section, Shape};
use num_complex::Complex64;
use parts::{Dielectric, OpampModel};
use serde_json::{Value, json};
use std::f64::consts::TAU;
use testkit::awkward::Stream;
use units::{Farads, Hertz, Ohms, Ratio};

/// Seed of what is changed at random.
const SEED: u64 = 20_651;

/// Designs of each topology that are judged.
const DESIGNS: usize = 2;

/// Frequencies over the section's natural one.
const RATIOS: [f64; 9] = [1e-3, 0.03, 0.5, 0.9, 1.0, 1.07, 2.0, 30.0, 1e3];

/// Every topology in the list, in some designs as calculated and, each, with all values off.
pub(crate) fn all() -> Value {
    let mut list = Vec::new();
    let mut stream = Stream::new(SEED);
    for &topology in Topology::ALL {
        let designs: Vec<_> = candidates()
            .filter_map(|(section, gain)| {
                let values = values(topology, &section, gain, &mut stream)?;
                Some((section, gain, values))
            })
            .take(DESIGNS)
            .collect();
        assert!(
            !designs.is_empty(),
            "{}: none of the sections suits it, so nothing could be said",
            topology.name()
        );
        for (section, gain, values) in designs {
            list.push(stage(topology, &section, gain, &values, true));
            let off = detuned(topology, &values, &mut stream);
            list.push(stage(topology, &section, gain, &off, false));
        }
    }
    Value::Array(list)
}

/// Every value off by up to a quarter, but places that must share a value still sharing it, and
/// values that a topology gives itself left alone: closed forms hold for no others.
fn detuned(topology: Topology, values: &[f64], stream: &mut Stream) -> Vec<f64> {
    let mut off: Vec<f64> = Vec::new();
    for (place, value) in topology.places().iter().zip(values) {
        let moved = value * stream.log_between(0.8, 1.25);
        off.push(match place.rule.released(true) {
            Rule::Free => moved,
            Rule::Same(earlier) | Rule::Tied(earlier) => off[earlier],
            Rule::Near(_) => *value,
        });
    }
    off
}

/// Sections and gains that the topologies may be asked for.
fn candidates() -> impl Iterator<Item = (Section, f64)> {
    let make = |shape, f0, q| Section {
        shape,
        f0: Hertz(f0),
        q,
    };
    let zero = Hertz(1000.0);
    let shapes = [
        Shape::BandPass,
        Shape::LowPass,
        Shape::HighPass,
        Shape::Notch { zero },
        Shape::Notch { zero: Hertz(400.0) },
        Shape::Notch { zero: Hertz(650.0) },
        Shape::FirstLowPass,
        Shape::FirstHighPass,
    ];
    let places = [(650.0, 4.0), (700.0, 12.0), (1000.0, 1.3), (300.0, 0.7)];
    shapes.into_iter().flat_map(move |shape| {
        places.into_iter().flat_map(move |(f0, q)| {
            [1.0, 2.0, 0.5, 1.5, 3.0, 8.0, 20.0].map(|gain| (make(shape, f0, q), gain))
        })
    })
}

/// Values of a design for capacitors that make it possible, if there are any.
fn values(
    topology: Topology,
    section: &Section,
    gain: f64,
    stream: &mut Stream,
) -> Option<Vec<f64>> {
    topology.fits(section, gain, &rules()).ok()?;
    (0..40).find_map(|_| {
        let capacitors: Vec<f64> = (0..topology.capacitors())
            .map(|_| stream.pick(&[1e-9, 4.7e-9, 10e-9, 22e-9, 47e-9]))
            .collect();
        let values = topology.ideal(section, gain, &capacitors)?;
        values.iter().all(|value| *value > 0.0).then_some(values)
    })
}

/// Part rules that refuse nothing.
fn rules() -> PartRules {
    PartRules {
        resistors: ResistorRule {
            series: "E96".to_owned(),
            tolerance: Ratio(0.01),
            from: Ohms(1.0),
            to: Ohms(1e9),
            pairs: false,
        },
        capacitors: CapacitorRule {
            series: "E6".to_owned(),
            tolerance: Ratio(0.05),
            kind: Dielectric::Film,
            from: Farads(1e-12),
            to: Farads(1e-3),
            pairs: false,
            unequal: false,
        },
        opamps: Vec::new(),
        most_stages: 4,
        drawer: None,
    }
}

/// The netlist of a stage driven by a stiff source, mid-supply at 0 V, and its closed form;
/// `designed` says whether the values are those calculated for the section.
fn stage(topology: Topology, wanted: &Section, gain: f64, values: &[f64], designed: bool) -> Value {
    let mut circuit = Circuit::new(topology.name());
    let input = circuit.node("in");
    let output = circuit.node("out");
    circuit.input = input;
    circuit.output = output;
    let mut board = Board::new(circuit, &OpampModel::ideal(), [NodeId::GROUND; 2]);
    board.begin("1");
    let ports = Ports {
        input,
        output,
        mid: NodeId::GROUND,
    };
    topology.build(&mut board, ports, values);
    let circuit = board.circuit;
    let reached = topology.reached(values);
    let frequencies = RATIOS.map(|ratio| ratio * wanted.f0.0);
    let at = |f: &f64| Complex64::new(0.0, TAU * f);
    let table = circuit::ac::sweep(&circuit, &frequencies.map(Hertz), &[circuit.output]);
    let response = table.unwrap_or_else(|why| panic!("{}: {why:?}", topology.name()));
    json!({
        "topology": topology.name(),
        "wanted": section(wanted),
        "gain": gain,
        "designed": designed,
        "values": values,
        "circuit": netlist(&circuit),
        "frequencies_hz": frequencies,
        "sensitivities": designed.then(|| sensitivities(&circuit, 1.02 * wanted.f0.0)),
        "response": complexes(response.of(0)),
        "closed_form": complexes(frequencies.iter().map(|f| reached.transfer(wanted.shape, at(f)))),
    })
}

/// How the figures move with every part, for a listener at that pitch.
fn sensitivities(circuit: &Circuit, pitch_hz: f64) -> Value {
    let system = System::build(circuit).expect("a stage has equations");
    let mut study = Study::new(circuit, &system).expect("a stage has poles");
    let ringing = study.ringing(pitch_hz, 20.0, &[]);
    let all = study.sensitivities(pitch_hz);
    let parts: Vec<Value> = (0..circuit.parts.len())
        .filter_map(|k| all.of(k).map(|s| (k, s)))
        .map(|(k, s)| {
            json!({
                "ref": circuit.parts[k].reference,
                "gain_at_pitch": s.gain_at_pitch,
                "centre": s.centre,
                "width_3db": s.width_3db,
                "width_6db": s.width_6db,
                "tail_20db": s.tail_20db,
            })
        })
        .collect();
    json!({ "pitch_hz": pitch_hz, "tail_20db_s": ringing.tail_20db_s, "parts": parts })
}
