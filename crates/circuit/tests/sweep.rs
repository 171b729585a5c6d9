//! The sweep against closed forms and against the dense judge.

use circuit::Circuit;
use circuit::ac::sweep;
use circuit::system::Unsolvable;
use num_complex::Complex64;
use parts::{Corner, OpampModel};
use testkit::{Board, dense_response, four_stage_box, jfet_opamp};
use units::{Farads, Hertz, Ohms};

/// A JFET-input amplifier such as many boxes hold; every number set so that nothing is left out.
fn real_opamp() -> OpampModel {
    OpampModel {
        name: "JFET".to_owned(),
        dc_gain: 2e5,
        gain_bandwidth: Hertz(3e6),
        input_resistance: Ohms(1e12),
        input_capacitance: Farads(5e-12),
        output_resistance: Ohms(125.0),
        voltage_noise: Corner {
            white: 18e-9,
            corner: Hertz(100.0),
        },
        ..OpampModel::ideal()
    }
}

fn frequencies() -> Vec<f64> {
    (0..=60)
        .map(|k| 20.0 * 1000_f64.powf(f64::from(k) / 60.0))
        .collect()
}

/// Two routes: every node of `circuit` within 1e-9 of the dense judge from 20 Hz to 20 kHz.
fn check(circuit: &Circuit) {
    let nodes: Vec<_> = (0..circuit.nodes.len()).map(circuit::NodeId).collect();
    let f_hz = frequencies();
    let asked: Vec<Hertz> = f_hz.iter().map(|&f| Hertz(f)).collect();
    let table = sweep(circuit, &asked, &nodes).expect("a solution");
    for (k, &f) in f_hz.iter().enumerate() {
        let judge = dense_response(circuit, f).expect("a solution");
        for (node, expected) in judge.iter().enumerate() {
            let error = (table.at(k, node) - expected).norm();
            // The floor is 340 dB under the source, the judge's own rounding of 0 V: rails, virtual
            // grounds, a buffered mid-supply.
            assert!(
                error <= 1e-9 * expected.norm() + 1e-17,
                "{} at {f} Hz, node {}: {} against {expected}",
                circuit.title,
                circuit.nodes[node],
                table.at(k, node),
            );
        }
    }
}

/// Four multiple-feedback stages behind a coupling capacitor, with a mid-supply divider.
fn four_stages(model: &OpampModel) -> Circuit {
    let stage = [700.0, 4.0, 1.0, 10e-9];
    Board::new("four stages")
        .c("C1", 1e-6, "in", "x")
        .multiple_feedback(1, stage, model, ["x", "s1"])
        .multiple_feedback(2, stage, model, ["s1", "s2"])
        .multiple_feedback(3, [650.0, 6.0, 1.5, 10e-9], model, ["s2", "s3"])
        .multiple_feedback(4, stage, model, ["s3", "s4"])
        .c("C2", 10e-6, "s4", "out")
        .r("R1", 10e3, "out", "0")
        .finish()
}

#[test]
fn agrees_with_the_dense_judge() {
    let mut loaded = four_stages(&real_opamp());
    loaded.source = Ohms(100.0);
    loaded.load = Some(Ohms(600.0));
    check(&loaded);
    check(&four_stages(&OpampModel::ideal()));
    check(&four_stage_box(&jfet_opamp()));
    check(&four_stage_box(&OpampModel::ideal()));
    check(
        &Board::new("ladder with a wire link")
            .l("L1", 0.1, 30.0, "in", "a")
            .c("C1", 220e-9, "a", "0")
            .r("R1", 0.0, "a", "b")
            .l("L2", 88e-3, 12.0, "b", "out")
            .c("C2", 1e-6, "out", "0")
            .r("R2", 600.0, "out", "vcc")
            .finish(),
    );
}

/// Closed form: the ideal multiple-feedback stage is −G (s ω0/Q)/(s² + s ω0/Q + ω0²)
/// ([OAFE, §16.5.1.2]).
#[test]
fn multiple_feedback_stage_has_its_textbook_response() {
    let (f0, q, gain) = (1000.0, 10.0, 2.0);
    let circuit = Board::new("one stage")
        .multiple_feedback(
            1,
            [f0, q, gain, 100e-9],
            &OpampModel::ideal(),
            ["in", "out"],
        )
        .finish();
    for f in frequencies() {
        let table = sweep(&circuit, &[Hertz(f)], &[circuit.output]).unwrap();
        let s = Complex64::new(0.0, f / f0);
        let expected = -gain * s / q / (s * s + s / q + 1.0);
        let error = (table.at(0, 0) - expected).norm();
        assert!(error < 1e-12 * expected.norm(), "{f} Hz");
    }
}

/// What nothing fixes is named as the user named it.
#[test]
fn says_what_is_undetermined() {
    let circuit = Board::new("floating")
        .r("R1", 1e3, "in", "out")
        .r("R2", 1e3, "out", "0")
        .r("R3", 1e3, "island", "far shore")
        .finish();
    let Err(Unsolvable::Undetermined { nodes, .. }) =
        sweep(&circuit, &[Hertz(700.0)], &[circuit.output])
    else {
        panic!("an island has no voltage");
    };
    assert!(nodes.iter().all(|n| n == "island" || n == "far shore"));
    assert_eq!(nodes.len(), 1);
}
