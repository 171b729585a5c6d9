//! References of the parts that are planned, against the standards' rules.

use circuit::{Circuit, Element};
use filter::approximation::bessel;
use filter::assembly::realise;
use filter::bandpass::{all_band_pass, resonators};
use filter::topology::Topology;
use units::Hertz;

/// A box of that many stages, with everything round them.
fn planned(stages: usize) -> Circuit {
    let text = format!(
        "format = \"narrows need 1\"\n[listening]\npitch = \"650 Hz\"\nspeed = \"20 wpm\"\n\
         [supply]\nvoltage = \"9 V\"\nlowest = \"7 V\"\n\
         [parts]\nopamps = [\"TL072\"]\nstages = {{ most = {stages} }}\n"
    );
    let need = filter::need::read("need.toml", &text).unwrap_or_else(|why| panic!("{why}"));
    let prototype = bessel(stages).expect("an order within 1 to 10");
    let sections = all_band_pass(&resonators(&prototype, Hertz(650.0), Hertz(200.0)));
    realise(&need, &sections, &[Topology::MultipleFeedbackBandPass])
        .unwrap_or_else(|refusal| panic!("{refusal:?}"))
        .circuit
}

/// Class letters of [IEEE-315, §22], as far as a planned circuit needs them.
fn class(element: &Element) -> &'static str {
    match element {
        Element::Resistor { .. } | Element::Pot(_) => "R",
        Element::Capacitor { .. } => "C",
        Element::Inductor { .. } => "L",
        Element::Diode(_) => "D",
        Element::Opamp(_) => "U",
        Element::Switch(_) => "S",
    }
}

/// Published rules [Y14-44, §2.1.3]: class letter and number; from 1 on without a gap in the order of
/// the drawing, which is from the input to the output; the amplifiers of one package share its number
/// and take suffix letters in turn.
#[test]
fn parts_are_numbered_as_the_standard_says() {
    for stages in 1..=4 {
        let circuit = planned(stages);
        for letter in ["R", "C", "D"] {
            let mine = circuit.parts.iter().filter(|p| class(&p.element) == letter);
            for (number, part) in (1..).zip(mine) {
                assert_eq!(part.reference, format!("{letter}{number}"));
            }
        }
        let amplifiers = circuit.parts.iter().filter(|p| class(&p.element) == "U");
        for (index, part) in amplifiers.enumerate() {
            let unit = ["A", "B"][index % 2];
            assert_eq!(part.reference, format!("U{}{unit}", index / 2 + 1));
        }
        let known = ["R", "C", "D", "U"];
        assert!(
            circuit
                .parts
                .iter()
                .all(|p| known.contains(&class(&p.element)))
        );
    }
}

/// The same rule, upper left first: in the order of the stages, every reference of an earlier one is
/// lower than those of a later one.
#[test]
fn numbers_rise_from_stage_to_stage() {
    let circuit = planned(3);
    let numbers = |stage: &str, letter: &str| -> Vec<usize> {
        let mine = circuit
            .parts
            .iter()
            .filter(|p| p.stage.as_deref() == Some(stage) && class(&p.element) == letter);
        mine.map(|p| p.reference[1..].parse().expect("a number"))
            .collect()
    };
    for letter in ["R", "C"] {
        let order = ["input", "1", "2", "3"].map(|stage| numbers(stage, letter));
        for pair in order.windows(2) {
            let (before, after) = (pair[0].iter().max(), pair[1].iter().min());
            assert!(before < after && before.is_some(), "{letter}: {order:?}");
        }
    }
}
