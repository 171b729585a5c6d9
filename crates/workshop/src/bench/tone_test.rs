//! What a tone at the input should give at each test point.

use crate::package::package_and_unit;
use crate::wishes::Wishes;
use circuit::figures::Study;
use circuit::{Circuit, Element};
use sheet::{TestPoint, ToneLevels, ToneTest};
use units::{Decibels, Hertz, Quantity, Volts};

/// A tone small enough for every stage and large enough for a meter, V rms (common practice).
const TONE_V: f64 = 0.1;

/// One test point an amplifier output, in the order of the file, and the output.
pub(crate) fn test_points(circuit: &Circuit) -> Vec<TestPoint> {
    let mut points: Vec<TestPoint> = Vec::new();
    for part in &circuit.parts {
        let Element::Opamp(o) = &part.element else {
            continue;
        };
        if o.minus == o.out && o.plus != o.out && idle(circuit, o) {
            continue;
        }
        let pin = pin_of_output(&part.reference, &o.model.pinout);
        points.push(TestPoint {
            name: format!("TP{}", points.len() + 1),
            node: o.out,
            place: pin.map_or(format!("output of {}", part.reference), |(package, pin)| {
                format!("{package} pin {pin}, output of {}", part.reference)
            }),
        });
    }
    if !points.iter().any(|p| p.node == circuit.output) {
        points.push(TestPoint {
            name: format!("TP{}", points.len() + 1),
            node: circuit.output,
            place: format!("output, node {}", circuit.node_name(circuit.output)),
        });
    }
    points
}

/// A spare amplifier wired as a follower that feeds nothing.
fn idle(circuit: &Circuit, o: &circuit::Opamp) -> bool {
    circuit.parts.iter().all(|p| match &p.element {
        Element::Opamp(other) => other == o || (other.plus != o.out && other.minus != o.out),
        element => !element.nodes().contains(&o.out),
    }) && circuit.output != o.out
}

/// Package name and pin number of an amplifier's output.
fn pin_of_output(reference: &str, pinout: &parts::Pinout) -> Option<(String, u8)> {
    let (package, unit) = package_and_unit(reference);
    pinout
        .units
        .get(unit)
        .map(|&(_, _, out)| (package.to_owned(), out))
}

/// Expected levels at the pitch and half an octave or so to either side.
pub(crate) fn tone_test(study: &mut Study<'_>, points: &[TestPoint], wishes: &Wishes) -> ToneTest {
    let pitch = wishes.pitch.si();
    let offset = (0.3 * pitch / 50.0).round() * 50.0;
    let frequencies = vec![
        (Hertz(pitch - offset), format!("pitch − {offset:.0} Hz")),
        (wishes.pitch, "pitch".to_owned()),
        (Hertz(pitch + offset), format!("pitch + {offset:.0} Hz")),
    ];
    let levels = points
        .iter()
        .map(|point| ToneLevels {
            point: point.name.clone(),
            gain: frequencies
                .iter()
                .map(|(f, _)| Decibels(20.0 * study.gain_to(point.node, f.si()).norm().log10()))
                .collect(),
            within: Vec::new(),
        })
        .collect();
    ToneTest {
        drive: Volts(wishes.signal.map_or(TONE_V, |s| s.si().min(TONE_V))),
        source: study.circuit().source,
        frequencies,
        levels,
    }
}
