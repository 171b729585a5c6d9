//! Figures of variants from one sweep: against a study of each variant soldered up.

use circuit::Circuit;
use circuit::figures::Study;
use circuit::system::System;
use circuit::variants::{Gauge, Question, Reading, Variants};
use testkit::{built, four_stage_box, jfet_opamp};

/// What a study of the variant itself says.
fn studied(circuit: &Circuit, question: &Question) -> Reading {
    let system = System::build(circuit).expect("equations");
    let mut study = Study::new(circuit, &system).expect("a study");
    let response = study.response(question.pitch_hz, &[]);
    let neighbours = study.neighbours(question.pitch_hz, &question.offsets_hz);
    let ringdown = study.ringdown(question.pitch_hz);
    Reading {
        gain_at_pitch_db: response.gain_at_pitch_db,
        peak_db: response.peak_db,
        peak_hz: response.peak_hz,
        centre_hz: response.centre_hz,
        width_3db_hz: response.width_3db_hz,
        width_6db_hz: response.width_6db_hz,
        down_db: neighbours.iter().map(|n| n.down_db).collect(),
        tail_20db_s: ringdown.map(|r| r.last_above(0.1)),
    }
}

/// Two routes: every figure of every variant against a study of the variant soldered up. What the
/// sweep gives directly agrees to rounding; what lies between its samples as its head promises.
fn check(circuit: &Circuit, question: &Question, variants: impl Fn(&System) -> Variants) {
    let system = System::build(circuit).expect("equations");
    let gauge = Gauge::new(circuit, &system, question).expect("a gauge");
    let variants = variants(&system);
    let readings = gauge.read(&variants);
    assert_eq!(readings.len(), variants.len());
    for (k, found) in readings.iter().enumerate() {
        let found = found.as_ref().expect("a solution");
        let wanted = studied(&variants.soldered(k, circuit, &system), question);
        let near = |what: &str, found: f64, wanted: f64, by: f64| {
            assert!(
                (found - wanted).abs() <= by,
                "variant {k}, {what}: {found} for {wanted}"
            );
        };
        let both = |what: &str, found: Option<f64>, wanted: Option<f64>, by: f64| {
            assert_eq!(found.is_some(), wanted.is_some(), "variant {k}, {what}");
            if let Some((found, wanted)) = found.zip(wanted) {
                near(what, found, wanted, by);
            }
        };
        near(
            "gain",
            found.gain_at_pitch_db,
            wanted.gain_at_pitch_db,
            1e-9,
        );
        near("peak", found.peak_db, wanted.peak_db, 1e-3);
        let width = wanted.width_3db_hz.unwrap_or(wanted.peak_hz);
        // A flat top is a place that a small error moves far: by the root of it.
        near(
            "place of the peak",
            found.peak_hz,
            wanted.peak_hz,
            3e-3 * width,
        );
        both("centre", found.centre_hz, wanted.centre_hz, 3e-4 * width);
        both(
            "width",
            found.width_3db_hz,
            wanted.width_3db_hz,
            3e-4 * width,
        );
        both(
            "wider",
            found.width_6db_hz,
            wanted.width_6db_hz,
            6e-4 * width,
        );
        both("tail", found.tail_20db_s, wanted.tail_20db_s, 1e-5);
        for (found, wanted) in found.down_db.iter().zip(&wanted.down_db) {
            near("neighbour", *found, *wanted, 1e-9);
        }
    }
}

#[test]
fn four_stages_are_read_as_they_are() {
    let question = Question {
        pitch_hz: 700.0,
        offsets_hz: vec![350.0, -350.0, -600.0],
    };
    check(&four_stage_box(&jfet_opamp()), &question, |system| {
        built(system, 60)
    });
}

/// One stage at the top of what is built, Q 20: the sharpest resonance there is to hit.
#[test]
fn a_sharp_stage_is_read_as_it_is() {
    let board = r#"
        format = "narrows circuit 1"
        input = "in"
        output = "out"
        supply = { voltage = "9 V" }
        part = [
          { ref = "R1", kind = "resistor", value = "470k", between = ["in", "a"] },
          { ref = "R2", kind = "resistor", value = "590", between = ["a", "0"] },
          { ref = "R3", kind = "resistor", value = "910k", between = ["b", "out"] },
          { ref = "C1", kind = "capacitor", value = "10n", between = ["a", "out"] },
          { ref = "C2", kind = "capacitor", value = "10n", between = ["a", "b"] },
          { ref = "U1A", kind = "opamp", type = "TL072", plus = "0", minus = "b", out = "out" },
        ]
    "#;
    let circuit = circuit::read("one stage", board).expect("a circuit");
    let question = Question {
        pitch_hz: 690.0,
        offsets_hz: vec![100.0],
    };
    check(&circuit, &question, |system| built(system, 60));
}

/// Physical invariant: a stage with positive feedback, whose gain passes the point where it
/// oscillates at R4/R3 = 2 (wanted poles on the axis: 3 − K = 0 [FRANCO, ch. 3]), has no tail
/// from there on, and one before.
#[test]
fn what_oscillates_has_no_tail() {
    let board = r#"
        format = "narrows circuit 1"
        input = "in"
        output = "out"
        supply = { voltage = "9 V" }
        part = [
          { ref = "R1", kind = "resistor", value = "22k", between = ["in", "a"] },
          { ref = "R2", kind = "resistor", value = "22k", between = ["a", "b"] },
          { ref = "C1", kind = "capacitor", value = "10n", between = ["a", "out"] },
          { ref = "C2", kind = "capacitor", value = "10n", between = ["b", "0"] },
          { ref = "R3", kind = "resistor", value = "10k", between = ["m", "0"] },
          { ref = "R4", kind = "resistor", value = "18k", between = ["m", "out"] },
          { ref = "U1A", kind = "opamp", type = "ideal", plus = "b", minus = "m", out = "out" },
        ]
    "#;
    let circuit = circuit::read("one stage", board).expect("a circuit");
    let system = System::build(&circuit).expect("equations");
    let question = Question {
        pitch_hz: 720.0,
        offsets_hz: vec![],
    };
    let gauge = Gauge::new(&circuit, &system, &question).expect("a gauge");
    let r4 = (0..system.parameters().len())
        .find(|&k| circuit.parts[system.parameters()[k].part].reference == "R4")
        .expect("R4");
    let mut variants = Variants::of(vec![r4]);
    let ratios = [1.6, 1.7, 1.8, 1.9, 2.1, 2.2, 2.4];
    for ratio in ratios {
        variants.push(&[ratio * 10e3]).expect("a value");
    }
    for (reading, ratio) in gauge.read(&variants).iter().zip(ratios) {
        let tail = reading.as_ref().expect("a solution").tail_20db_s;
        assert_eq!(tail.is_some(), ratio < 2.0, "ratio {ratio}: {tail:?}");
    }
}
