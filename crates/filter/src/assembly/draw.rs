//! From the chosen chain to the netlist.

use super::assembled::Assembled;
use super::bias::{Bias, smallest_leg};
use super::chain::{Chain, RealisedStage};
use super::standard::{DECOUPLING, electrolytic};
use super::summary::{ChosenPart, StageErrors, StageSummary};
use crate::Need;
use crate::topology::{Board, Ports};
use circuit::{Circuit, Diode, Element, NodeId, Supply};
use std::f64::consts::TAU;
use units::{Decibels, Ohms};

/// Bulk reservoir across the supply, farad.
const BULK: f64 = 100e-6;

/// A silicon rectifier of the 1 A kind (typical values, from memory).
const RECTIFIER: (f64, f64) = (1e-9, 1.8);

/// Draws the circuit of a chain.
///
/// The supply enters at `vcc` over a fuse in its lead; a rectifier across it conducts when
/// it is connected the wrong way round and blows the fuse. A diode in series would cost
/// 0.3 V to 0.6 V of a headroom that a tired 9 V battery does not have.
#[must_use]
pub fn assemble(need: &Need, chain: &Chain) -> Assembled {
    let mut circuit = Circuit::new(&need.title);
    let input = circuit.node("in");
    let output = circuit.node("out");
    let mid = circuit.node("mid");
    let vcc = circuit.node("vcc");
    (circuit.input, circuit.output) = (input, output);
    circuit.source = need.levels.source;
    circuit.load = Some(Ohms(chain.exit.load));
    circuit.supply = Some(Supply {
        voltage: need.supply.voltage,
        lowest: Some(need.supply.lowest),
        capacity: need.supply.capacity,
    });
    let rules = &need.parts;
    let mut board = Board::new(circuit, &chain.amplifier, [vcc, NodeId::GROUND]).with_stock(
        rules.resistors.tolerance,
        rules.capacitors.tolerance,
        rules.capacitors.kind,
    );
    let mut from = chain.entrance.draw(&mut board, input, mid);
    for (number, stage) in (1..).zip(&chain.stages) {
        from = draw_stage(&mut board, stage, number, from, mid);
    }
    chain.exit.draw(&mut board, from, output, mid);
    let pitch = need.listening.pitch.0;
    let leg = smallest_leg(&board, mid, pitch) / touchiness(chain);
    let bias = Bias::for_leg(leg, pitch, board.idle() > 0);
    bias.draw(&mut board, vcc, mid);
    board.park(mid);
    draw_supply(&mut board, vcc);
    let mut notes = chain.notes.clone();
    notes.extend(chain.exit.note.clone());
    for (number, stage) in (1..).zip(&chain.stages) {
        let name = number.to_string();
        let paired = stage.pairing.as_ref();
        notes.extend(
            paired.and_then(|p| {
                p.solder(&mut board.circuit, &name, stage.topology, stage.found.error)
            }),
        );
    }
    let stages = (1..)
        .zip(&chain.stages)
        .map(|(n, s)| summary(&board.circuit, s, n))
        .collect();
    Assembled {
        stages,
        bias,
        chain: chain.clone(),
        notes,
        circuit: board.circuit,
    }
}

/// How much more than in proportion Q moves with a resistor, at worst: by so much must the
/// mid-supply node be stiffer.
fn touchiness(chain: &Chain) -> f64 {
    let slopes = chain.stages.iter().flat_map(|stage| {
        let slopes = stage.topology.sensitivities(&stage.found.values);
        slopes.into_iter().skip(stage.topology.capacitors())
    });
    slopes.map(|slope| slope.q.abs()).fold(1.0, f64::max)
}

fn draw_stage(
    board: &mut Board,
    stage: &RealisedStage,
    number: usize,
    input: NodeId,
    mid: NodeId,
) -> NodeId {
    board.begin(&number.to_string());
    let output = board.inner("out");
    let ports = Ports { input, output, mid };
    stage.topology.build(board, ports, &stage.found.values);
    output
}

fn draw_supply(board: &mut Board, vcc: NodeId) {
    board.begin("supply");
    let ground = NodeId::GROUND;
    for _ in 0..board.packages() {
        board.odd_capacitor(DECOUPLING, [vcc, ground], "decoupling");
    }
    board.odd_capacitor(electrolytic(BULK), [vcc, ground], "bulk");
    let diode = Diode {
        anode: ground,
        cathode: vcc,
        saturation_a: RECTIFIER.0,
        ideality: RECTIFIER.1,
    };
    board.diode(diode, "reverse polarity");
    board.note("conducts when the supply is reversed: blows the fuse in the supply lead");
}

fn summary(circuit: &Circuit, stage: &RealisedStage, number: usize) -> StageSummary {
    let name = number.to_string();
    let (real, wanted) = (&stage.real, stage.wanted);
    let values = &stage.found.values;
    let topology = stage.topology;
    let mut ideal = topology.ideal(&wanted, stage.gain, &values[..topology.capacitors()]);
    if let (Some(values), Some(input)) = (&mut ideal, topology.input_place()) {
        values[input] -= stage.series;
    }
    let parts = topology
        .places()
        .iter()
        .enumerate()
        .map(|(k, place)| ChosenPart {
            reference: reference(circuit, &name, place.role),
            role: place.role.to_owned(),
            ideal: ideal.as_ref().map(|v| v[k]),
            chosen: values[k],
        });
    let resistors = &values[topology.capacitors()..];
    let most = resistors.iter().copied().fold(0.0, f64::max);
    let least = resistors.iter().copied().fold(f64::INFINITY, f64::min);
    StageSummary {
        parts: parts.collect(),
        reached: real.section(wanted.shape),
        gain: Decibels(20.0 * real.gain.abs().log10()),
        errors: StageErrors {
            f0: real.w0 / (TAU * wanted.f0.0) - 1.0,
            q: real.q / wanted.q - 1.0,
            gain: real.gain.abs() / stage.gain - 1.0,
        },
        spread: most / least,
        error: stage.found.error,
        proof: stage.found.proof,
        name,
        topology,
        wanted,
    }
}

/// Reference of the frequency-setting part with that role in that stage; of a place made of two parts
/// both, joined by `+`.
fn reference(circuit: &Circuit, stage: &str, role: &str) -> String {
    let here = circuit.parts.iter().filter(|p| {
        !matches!(p.element, Element::Opamp(_))
            && p.stage.as_deref() == Some(stage)
            && p.role.as_deref() == Some(role)
    });
    let references: Vec<&str> = here.map(|p| p.reference.as_str()).collect();
    references.join("+")
}
