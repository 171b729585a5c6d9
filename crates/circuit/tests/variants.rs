//! Variants of a circuit: against the dense judge, against differences, and against themselves
//! on other numbers of threads.

use circuit::system::System;
use circuit::variants::{Batch, Misfit, Variants};
use circuit::{Circuit, NodeId};
use num_complex::Complex64;
use parts::OpampModel;
use testkit::awkward::{Stream, network};
use testkit::{Board, dense_response, four_stage_box, jfet_opamp};

/// Variants with every number of every part off by up to a factor `reach`.
fn invented(system: &System, count: usize, reach: f64, stream: &mut Stream) -> Variants {
    let mut variants = Variants::of((0..system.parameters().len()).collect());
    for _ in 0..count {
        let values: Vec<f64> = system
            .parameters()
            .iter()
            .map(|p| p.value * stream.log_between(1.0 / reach, reach))
            .collect();
        variants.push(&values).expect("sound values");
    }
    variants
}

/// Two routes: every node of every variant within 1e-9 of the dense judge's solution of the
/// circuit with those parts soldered in.
fn check(circuit: &Circuit, count: usize, f_hz: &[f64]) {
    let system = System::build(circuit).expect("equations");
    let nodes: Vec<NodeId> = (0..circuit.nodes.len()).map(NodeId).collect();
    let batch = Batch::new(&system, &nodes, 700.0).expect("an order");
    let variants = invented(&system, count, 3.0, &mut Stream::new(count as u64));
    let readings = batch.sweep(&variants, f_hz);
    assert_eq!(readings.unsolved, [], "{}", circuit.title);
    let mut values = readings.values.chunks(nodes.len());
    for variant in 0..count {
        let soldered = variants.soldered(variant, circuit, &system);
        for &f in f_hz {
            let judge = dense_response(&soldered, f).expect("a solution");
            let found = values.next().expect("an answer");
            // What the judge itself makes of 0 V by rounding, beside the largest voltage about.
            let floor = 1e-15 * judge.iter().map(|v| v.norm()).fold(0.0, f64::max);
            for (node, (found, wanted)) in found.iter().zip(&judge).enumerate() {
                assert!(
                    (found - wanted).norm() <= 1e-9 * wanted.norm() + floor,
                    "{}, variant {variant} at {f} Hz, node {}: {found} against {wanted}",
                    circuit.title,
                    circuit.nodes[node],
                );
            }
        }
    }
}

fn audio() -> Vec<f64> {
    (0..=12)
        .map(|k| 20.0 * 1000_f64.powf(f64::from(k) / 12.0))
        .collect()
}

fn ladder() -> Circuit {
    Board::new("ladder with a wire link")
        .l("L1", 0.1, 30.0, "in", "a")
        .c("C1", 220e-9, "a", "0")
        .r("R1", 0.0, "a", "b")
        .l("L2", 88e-3, 12.0, "b", "out")
        .c("C2", 1e-6, "out", "0")
        .r("R2", 600.0, "out", "vcc")
        .finish()
}

/// Forty variants lie along the lanes; a single one has its frequencies along them.
#[test]
fn agree_with_the_dense_judge() {
    for count in [1, 40] {
        check(&four_stage_box(&jfet_opamp()), count, &audio());
        check(&four_stage_box(&OpampModel::ideal()), count, &audio());
        check(&ladder(), count, &audio());
    }
}

#[test]
fn agree_with_the_dense_judge_on_invented_networks() {
    let mut stream = Stream::new(20);
    for stages in [1, 2, 3, 5] {
        for amplifier in [OpampModel::ideal(), jfet_opamp()] {
            let circuit = network(&mut stream, &amplifier, stages);
            check(&circuit, 19, &audio());
        }
    }
}

/// Two routes: slopes from the transposed solution against differences of the dense judge.
#[test]
fn slopes_agree_with_differences() {
    let circuit = four_stage_box(&jfet_opamp());
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let f_hz = [350.0, 690.0, 1100.0];
    let slopes = batch.slopes(&Variants::nominal(&system), &f_hz);
    let count = system.parameters().len();
    // Five points: the error is h⁴/30 of the fifth derivative, under 1e-10 here, and the judge's
    // rounding of about 1e-14 is divided by h.
    let h = 2e-3;
    let output = |circuit: &Circuit, f: f64| {
        dense_response(circuit, f).expect("a solution")[circuit.output.0]
    };
    for (k, &f) in f_hz.iter().enumerate() {
        let found = &slopes.values[k * (1 + count)..(k + 1) * (1 + count)];
        assert!((found[0] - output(&circuit, f)).norm() <= 1e-9 * found[0].norm());
        for (parameter, &found) in system.parameters().iter().zip(&found[1..]) {
            let at = |sign: f64| {
                let mut altered = circuit.clone();
                altered.set(parameter, parameter.value * f64::exp(sign * h));
                output(&altered, f)
            };
            let wanted: Complex64 =
                (8.0 * (at(1.0) - at(-1.0)) - (at(2.0) - at(-2.0))) / (12.0 * h);
            assert!(
                (found - wanted).norm() <= 1e-6 * wanted.norm() + 1e-10,
                "{} of {} at {f} Hz: {found} against {wanted}",
                format_args!("{:?}", parameter.property),
                circuit.parts[parameter.part].reference,
            );
        }
    }
}

/// Invariant: the last bit does not depend on how many threads share the work.
#[test]
fn threads_do_not_change_a_bit() {
    let circuit = four_stage_box(&jfet_opamp());
    let system = System::build(&circuit).expect("equations");
    let batch = Batch::new(&system, &[circuit.output], 700.0).expect("an order");
    let variants = invented(&system, 101, 1.2, &mut Stream::new(5));
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.expect("threads")
            .install(|| batch.sweep(&variants, &audio()))
    };
    assert_eq!(with(1), with(3));
}

/// Definition: the strengths add up to the matrix.
#[test]
fn strengths_add_up_to_the_matrix() {
    let mut stream = Stream::new(3);
    let circuits = [
        four_stage_box(&jfet_opamp()),
        ladder(),
        network(&mut stream, &jfet_opamp(), 3),
    ];
    for circuit in circuits {
        let system = System::build(&circuit).expect("equations");
        for entry in system.entries() {
            let mut sums = [0.0; 2];
            for strength in system.strengths() {
                let weight = |items: &[(usize, f64)], at| -> f64 {
                    items.iter().filter(|i| i.0 == at).map(|i| i.1).sum()
                };
                sums[usize::from(strength.dynamic)] += strength.value
                    * weight(strength.u.items(), entry.at.0)
                    * weight(strength.v.items(), entry.at.1);
            }
            let wanted = [entry.fixed, entry.dynamic];
            for (sum, wanted) in sums.iter().zip(wanted) {
                assert!((sum - wanted).abs() <= 1e-14 * wanted.abs(), "{entry:?}");
            }
        }
    }
}

/// A variant that cannot be is refused with what was found, and nothing is added.
#[test]
fn misfits_are_refused() {
    let mut variants = Variants::of(vec![0, 1]);
    let short = variants.push(&[1.0]);
    assert_eq!(
        short,
        Err(Misfit::Length {
            found: 1,
            wanted: 2
        })
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let refused = variants.push(&[1.0, bad]).expect_err("no such part");
        assert!(
            refused.to_string().contains("must be greater than 0"),
            "{refused}"
        );
    }
    assert!(variants.is_empty());
    let system = System::build(&ladder()).expect("equations");
    let batch = Batch::new(&system, &[], 700.0).expect("an order");
    assert_eq!(batch.sweep(&variants, &[700.0]).values, []);
}
