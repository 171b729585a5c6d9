//! Places made of two parts, from the search to the netlist that is measured.

use circuit::poles::poles;
use circuit::state_space::StateSpace;
use circuit::system::System;
use circuit::{Circuit, Element, NodeId};
use filter::assembly::{double, realise};
use filter::topology::{Board, PlaceKind, Ports, Topology};
use filter::values::{
    Aim, Compound, Extent, Joint, Measure, Pairs, Shelf, Task, Taste, Weights, doubling,
};
use filter::{Need, Section, Shape};
use parts::{OpampModel, Series};
use std::f64::consts::TAU;
use units::{Farads, Hertz, Ohms};

fn resonator(f0: f64, q: f64) -> Section {
    Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    }
}

/// A stage alone, driven by a stiff source, with ideal op-amps.
fn alone(topology: Topology, values: &[f64]) -> Circuit {
    let mut circuit = Circuit::new("one stage");
    let (input, output) = (circuit.node("in"), circuit.node("out1"));
    (circuit.input, circuit.output) = (input, output);
    let mid = NodeId::GROUND;
    let mut board = Board::new(circuit, &OpampModel::ideal(), [mid, mid]);
    board.begin("1");
    topology.build(&mut board, Ports { input, output, mid }, values);
    board.circuit
}

/// f0 and Q of a netlist, from its poles, and its gain at f0.
fn measured(circuit: &Circuit) -> (f64, f64, f64) {
    let system = System::build(circuit).expect("a sound circuit");
    let space = StateSpace::reduce(&system).expect("a reduction");
    let roots = poles(&space).expect("poles");
    assert_eq!(roots.len(), 1, "{roots:?}");
    let mut study = circuit::figures::Study::new(circuit, &system).expect("a solution");
    let gain = study.gain(roots[0].f_hz).norm();
    (roots[0].f_hz, roots[0].q.expect("damped"), gain)
}

fn near(what: &str, found: f64, wanted: f64, relative: f64) {
    let off = (found / wanted - 1.0).abs();
    assert!(off <= relative, "{what}: {found} for {wanted}");
}

/// Two routes: the closed form of the search, and poles and gain of the netlist in which every
/// compound is two parts, written to a file and read back. Both kinds, both joints.
#[test]
fn the_circuit_measures_as_the_search_predicted() {
    let resistors = Series::E12.values(Ohms(1e3), Ohms(1e6));
    let capacitors = Series::E6.values(Farads(1e-9), Farads(99e-9));
    let shelf = Shelf::new(
        resistors.iter().map(|v| v.0).collect(),
        capacitors.iter().map(|v| v.0).collect(),
    );
    let mut seen = Vec::new();
    for (f0, q) in [(600.0, 4.0), (640.0, 3.0), (700.0, 4.0), (800.0, 8.0)] {
        let topology = Topology::MultipleFeedbackBandPass;
        for pairs in [(true, false), (false, true)] {
            let task = Task {
                topology,
                aim: Aim {
                    section: resonator(f0, q),
                    gain: 1.0,
                    slack: 1.0,
                    weights: Weights::EQUAL,
                    measure: Measure::Greatest,
                },
                shelf: &shelf,
                taste: Taste::NONE,
                amplifier: &OpampModel::ideal(),
                series: 0.0,
                most: 1.0,
                unequal: false,
            };
            let pairs = Pairs {
                resistors: pairs.0,
                capacitors: pairs.1,
            };
            let steps = doubling(&task, pairs, Extent::of(2));
            let last = steps.last().expect("a stage");
            assert!(last.added > 0 && last.found.error < steps[0].found.error);
            let mut circuit = alone(topology, &last.found.values);
            let before = circuit.parts.len();
            for doubled in &last.doubled {
                let role = topology.places()[doubled.place].role;
                let part = circuit
                    .parts
                    .iter()
                    .find(|p| p.role.as_deref() == Some(role));
                let reference = part.expect("the part of that place").reference.clone();
                let made = double(&mut circuit, &reference, &doubled.compound);
                assert_eq!(
                    made,
                    Some([format!("{reference}A"), format!("{reference}B")])
                );
                seen.push((doubled.compound.kind, doubled.compound.joint));
            }
            assert_eq!(circuit.parts.len(), before + last.doubled.len());
            let text = circuit::write(&circuit);
            let circuit = circuit::read("doubled.toml", &text)
                .unwrap_or_else(|complaints| panic!("{complaints}\n{text}"));
            let (f, q, gain) = measured(&circuit);
            let reached = &last.found.reached;
            near("f0", f, reached.w0 / TAU, 1e-9);
            near("Q", q, reached.q, 1e-9);
            near("gain", gain, reached.gain.abs(), 1e-9);
        }
    }
    for wanted in [
        (PlaceKind::Resistor, Joint::Series),
        (PlaceKind::Resistor, Joint::Parallel),
        (PlaceKind::Capacitor, Joint::Parallel),
    ] {
        assert!(seen.contains(&wanted), "{wanted:?} never came up: {seen:?}");
    }
}

/// A part that is not there, of another kind, or whose halves' references are taken is left alone.
#[test]
fn what_cannot_be_doubled_is_left_alone() {
    let topology = Topology::MultipleFeedbackBandPass;
    let values = topology.ideal(&resonator(700.0, 4.0), 1.0, &[10e-9, 10e-9]);
    let mut circuit = alone(topology, &values.expect("a stage"));
    let compound = Compound {
        kind: PlaceKind::Resistor,
        joint: Joint::Series,
        parts: [10e3, 330.0],
    };
    let untouched = circuit.clone();
    assert_eq!(double(&mut circuit, "R9", &compound), None);
    assert_eq!(double(&mut circuit, "C1", &compound), None);
    assert_eq!(double(&mut circuit, "U1", &compound), None);
    assert_eq!(circuit, untouched);
    circuit.parts[1].reference = "R1B".to_owned();
    let taken = circuit.clone();
    assert_eq!(double(&mut circuit, "R1", &compound), None);
    assert_eq!(circuit, taken);
}

const SHIPPED: &str = include_str!("../../../examples/attic/need.toml");

fn need(resistors: &str, capacitors: &str) -> Need {
    let with = |text: &str, key: &str, table: &str| -> String {
        let line = |l: &str| match l.split('=').next().map(str::trim) == Some(key) {
            true => format!("{key} = {table}"),
            false => l.to_owned(),
        };
        text.lines().map(line).collect::<Vec<_>>().join("\n")
    };
    let text = with(SHIPPED, "resistors", resistors);
    let text = with(&text, "capacitors", capacitors);
    filter::need::read("need.toml", &text).unwrap_or_else(|complaints| panic!("{complaints}"))
}

const COARSE: &str = "series = \"E12\", tolerance = \"0.1 %\"";
const FILM: &str = "series = \"E6\", tolerance = \"0.5 %\"";

fn chain() -> Vec<Section> {
    vec![
        resonator(600.0, 5.0),
        resonator(650.0, 4.0),
        resonator(705.0, 5.0),
    ]
}

/// The need's own option: on a coarse shelf of close parts the stages take pairs, say so, come nearer,
/// and the circuit has the parts.
#[test]
fn a_need_that_allows_pairs_gets_them_where_they_pay() {
    let choice = [Topology::MultipleFeedbackBandPass];
    let made = |pairs: &str| {
        let (r, c) = (format!("{{ {COARSE}{pairs} }}"), format!("{{ {FILM} }}"));
        realise(&need(&r, &c), &chain(), &choice).expect("a circuit")
    };
    let (single, paired) = (made(""), made(", pairs = true"));
    assert!(!single.notes.iter().any(|n| n.contains("so many parts")));
    let told: Vec<&String> = paired
        .notes
        .iter()
        .filter(|n| n.contains("so many parts"))
        .collect();
    assert!(!told.is_empty(), "{:?}", paired.notes);
    let worst = |a: &filter::assembly::Assembled| {
        let errors = a.stages.iter().map(|s| s.error);
        errors.fold(0.0, f64::max)
    };
    assert!(
        worst(&paired) < worst(&single),
        "{} {}",
        worst(&paired),
        worst(&single)
    );
    for stage in &paired.stages {
        for part in &stage.parts {
            let of = |r: &str| {
                paired
                    .circuit
                    .find_part(r)
                    .map(|k| &paired.circuit.parts[k].element)
            };
            let ohms: Vec<f64> = part
                .reference
                .split('+')
                .filter_map(|r| match of(r) {
                    Some(Element::Resistor { value, .. }) => Some(value.0),
                    _ => None,
                })
                .collect();
            match ohms.as_slice() {
                [a, b] => {
                    let either = [a + b, a * b / (a + b)];
                    let off = either.map(|v| (v / part.chosen - 1.0).abs());
                    assert!(off[0].min(off[1]) < 1e-9, "{part:?}");
                }
                [a] => assert!((a / part.chosen - 1.0).abs() < 1e-9, "{part:?}"),
                _ => assert!(part.reference.starts_with('C'), "{part:?}"),
            }
        }
    }
}

/// A drawer of six values a decade and capacitors of three: no single parts make the stages, pairs do.
#[test]
fn pairs_make_what_single_parts_cannot() {
    let choice = [Topology::MultipleFeedbackBandPass];
    let made = |pairs: &str| {
        let r = format!("{{ series = \"E6\", tolerance = \"1 %\"{pairs} }}");
        let c = "{ series = \"E3\", tolerance = \"5 %\" }";
        realise(&need(&r, c), &chain(), &choice)
    };
    let refused = made("").expect_err("too coarse");
    assert_eq!(refused.cause, filter::topology::Cause::Values, "{refused}");
    let paired = made(", pairs = true").expect("a circuit");
    assert!(paired.stages.iter().all(|s| s.error < 0.12));
    assert!(
        paired
            .notes
            .iter()
            .any(|n| n.contains("in series") || n.contains("in parallel"))
    );
}

/// Where tolerances hide what pairs would bring, none are soldered: the same circuit with and without
/// the option.
#[test]
fn pairs_that_do_not_pay_are_not_soldered() {
    let choice = [Topology::MultipleFeedbackBandPass];
    let made = |pairs: &str| {
        let r = format!("{{ series = \"E24\", tolerance = \"1 %\"{pairs} }}");
        let c = format!("{{ series = \"E6\", tolerance = \"5 %\"{pairs} }}");
        realise(&need(&r, &c), &chain(), &choice).expect("a circuit")
    };
    assert_eq!(made("").circuit, made(", pairs = true").circuit);
}

/// The need's option for unequal capacitors reaches the search: a stage whose capacitors are tied for
/// ease gets different ones where that is nearer.
#[test]
fn a_need_may_let_capacitors_differ() {
    let choice = [Topology::DualAmplifierBandPass];
    let made = |unequal: &str| {
        let r = "{ series = \"E12\", tolerance = \"1 %\" }";
        let c = format!("{{ series = \"E6\", tolerance = \"1 %\"{unequal} }}");
        realise(&need(r, &c), &[resonator(650.0, 8.0)], &choice).expect("a circuit")
    };
    let (tied, free) = (made(""), made(", unequal = true"));
    let capacitors = |a: &filter::assembly::Assembled| {
        let values = &a.chain.stages[0].found.values;
        (values[0] / values[1] - 1.0).abs()
    };
    assert!(capacitors(&tied) < 1e-9 && capacitors(&free) > 0.1);
    assert!(free.stages[0].error < tied.stages[0].error);
}
