//! The assembled circuit against the plan it was made from.

use super::{Assembled, realise};
use crate::topology::Topology;
use crate::{
    CapacitorRule, Levels, Listening, Need, Neighbour, PartRules, Phones, ResistorRule, Section,
    Shape, Supply,
};
use circuit::Element;
use parts::{Dielectric, OpampModel, Pinout, RailLimit};
use units::{Amperes, Decibels, Farads, Hertz, Ohms, Ratio, Seconds, Volts, Wpm};

/// A JFET-input dual in round figures (typical of the kind, from memory).
fn dual() -> OpampModel {
    OpampModel {
        name: "dual".to_owned(),
        dc_gain: 2e5,
        gain_bandwidth: Hertz(3e6),
        input_resistance: Ohms(1e12),
        output_resistance: Ohms(100.0),
        swing: RailLimit {
            below_positive: Volts(1.5),
            above_negative: Volts(1.5),
        },
        common_mode: RailLimit {
            below_positive: Volts(0.0),
            above_negative: Volts(3.0),
        },
        slew_v_per_s: 13e6,
        output_current: Amperes(0.025),
        supply_current: Amperes(1.4e-3),
        supply_range: (Volts(7.0), Volts(36.0)),
        pinout: Pinout {
            amplifiers: 2,
            units: vec![(3, 2, 1), (5, 6, 7)],
            positive: 8,
            negative: 4,
        },
        ..OpampModel::ideal()
    }
}

fn need() -> Need {
    Need {
        title: "Attic receiver".to_owned(),
        listening: Listening {
            pitch: Hertz(650.0),
            speed: Wpm(22.0),
            width: Hertz(180.0),
            tail: Seconds(0.012),
            neighbours: [350.0, -350.0]
                .map(|offset| Neighbour {
                    offset: Hertz(offset),
                    down: Decibels(30.0),
                })
                .to_vec(),
        },
        levels: Levels {
            signal: Volts(0.12),
            strongest: Volts(1.5),
            source: Ohms(100.0),
            gain: Decibels(0.0),
            phones: None,
        },
        supply: Supply {
            voltage: Volts(9.0),
            lowest: Volts(7.0),
            capacity: None,
        },
        parts: PartRules {
            resistors: ResistorRule {
                series: "E24".to_owned(),
                tolerance: Ratio(0.01),
                from: Ohms(1e3),
                to: Ohms(1e6),
            },
            capacitors: CapacitorRule {
                series: "E6".to_owned(),
                tolerance: Ratio(0.05),
                kind: Dielectric::Film,
                from: Farads(1e-9),
                to: Farads(220e-9),
            },
            opamps: vec![dual()],
            most_stages: 4,
        },
        assumed: Vec::new(),
    }
}

fn with_phones(mut need: Need) -> Need {
    need.levels.phones = Some(Phones {
        impedance: Ohms(32.0),
        sensitivity: units::DecibelsPerMilliwatt(100.0),
    });
    need
}

fn resonator(f0: f64, q: f64) -> Section {
    Section {
        shape: Shape::BandPass,
        f0: Hertz(f0),
        q,
    }
}

/// Gain from source to output, dB, by the solver on the netlist.
fn gain_db(built: &Assembled, f: f64) -> f64 {
    let circuit = &built.circuit;
    let table = circuit::ac::sweep(circuit, &[Hertz(f)], &[circuit.output]).unwrap();
    20.0 * table.at(0, 0).norm().log10()
}

/// What the closed forms promise for the whole chain, dB.
fn promised_db(need: &Need, built: &Assembled, f: f64) -> f64 {
    let chain = &built.chain;
    let driver = chain
        .exit
        .driver
        .as_ref()
        .map_or(1.0, super::exit::Driver::voltage_gain);
    let stages: f64 = chain.stages.iter().map(|s| s.magnitude(f)).product();
    let entrance = chain.entrance.thevenin(need.levels.source.0).0;
    20.0 * (entrance * stages * driver * chain.exit.ratio()).log10()
}

/// The circuits every test below looks at: title, need, sections, topologies.
fn cases() -> Vec<(&'static str, Need, Vec<Section>, Vec<Topology>)> {
    let mfb = vec![Topology::MultipleFeedbackBandPass];
    let staggered = vec![
        resonator(600.0, 7.0),
        resonator(650.0, 4.0),
        resonator(704.0, 7.0),
    ];
    vec![
        (
            "one stage",
            need(),
            vec![resonator(650.0, 5.0)],
            mfb.clone(),
        ),
        (
            "two alike",
            need(),
            vec![resonator(650.0, 3.0); 2],
            mfb.clone(),
        ),
        ("three staggered", need(), staggered.clone(), mfb.clone()),
        (
            "three staggered, phones",
            with_phones(need()),
            staggered,
            mfb.clone(),
        ),
        (
            "four, phones",
            with_phones(need()),
            vec![resonator(650.0, 2.2); 4],
            mfb,
        ),
    ]
}

fn built() -> Vec<(&'static str, Need, Assembled)> {
    cases()
        .into_iter()
        .map(|(title, need, sections, choice)| {
            let built =
                realise(&need, &sections, &choice).unwrap_or_else(|why| panic!("{title}: {why}"));
            (title, need, built)
        })
        .collect()
}

/// Two routes: the solver on the whole netlist, coupling, bias and real op-amps included,
/// and the product of the stages' closed forms. 0.25 dB: the two coupling capacitors
/// (0.01 dB each at the pitch), the bias node (1 % of a leg), output resistances.
#[test]
fn the_netlist_does_what_the_stages_promise() {
    for (title, need, built) in built() {
        for f in [400.0, 560.0, 650.0, 740.0, 1000.0] {
            let (found, promised) = (gain_db(&built, f), promised_db(&need, &built, f));
            assert!(
                (found - promised).abs() < 0.25,
                "{title} at {f} Hz: {found} {promised}"
            );
        }
    }
}

/// The gain asked for at the pitch is reached: within the 0.25 dB that values leave open.
#[test]
fn the_gain_at_the_pitch_is_right() {
    for (title, need, built) in built() {
        let found = gain_db(&built, 650.0);
        assert!((found - need.levels.gain.0).abs() < 0.5, "{title}: {found}");
    }
}

/// Stages are where they should be: f0 and Q within what the value search reports.
#[test]
fn stages_reach_their_sections() {
    for (title, _, built) in built() {
        for stage in &built.stages {
            assert!(stage.error < 0.05, "{title}: {stage:?}");
            assert!(stage.errors.f0.abs() < 0.005, "{title}: {stage:?}");
            assert!(stage.errors.q.abs() < 0.05, "{title}: {stage:?}");
            assert!(
                stage.parts.iter().all(|p| !p.reference.is_empty()),
                "{title}: {stage:?}"
            );
        }
    }
}

/// What is soldered has a reference, stage, role, and no amplifier is left floating.
#[test]
fn every_part_is_accounted_for() {
    for (title, _, built) in built() {
        let parts = &built.circuit.parts;
        let mut references: Vec<&str> = parts.iter().map(|p| p.reference.as_str()).collect();
        references.sort_unstable();
        references.dedup();
        assert_eq!(references.len(), parts.len(), "{title}");
        assert!(
            parts.iter().all(|p| p.stage.is_some() && p.role.is_some()),
            "{title}"
        );
        let amplifiers = parts
            .iter()
            .filter(|p| matches!(p.element, Element::Opamp(_)))
            .count();
        assert_eq!(amplifiers % 2, 0, "{title}: duals are used up");
        let decoupling = parts
            .iter()
            .filter(|p| p.role.as_deref() == Some("decoupling"))
            .count();
        assert_eq!(decoupling, amplifiers / 2, "{title}");
    }
}

/// The direct voltages stand: every amplifier's output at half supply.
#[test]
fn outputs_rest_at_half_supply() {
    for (title, _, built) in built() {
        let point = circuit::dc::operating_point(&built.circuit).unwrap();
        for part in &built.circuit.parts {
            if let Element::Opamp(amp) = &part.element {
                let volts = point.volts(amp.out).0;
                assert!(
                    (volts - 4.5).abs() < 0.1,
                    "{title} {}: {volts}",
                    part.reference
                );
            }
        }
    }
}

/// The rule of the mid-supply node: at most 1 % of the smallest leg at the pitch.
#[test]
fn the_bias_node_is_stiff_enough() {
    for (title, _, built) in built() {
        if built.bias.buffered {
            continue;
        }
        let mid = built.circuit.find_node("mid").unwrap();
        let legs = built.circuit.parts.iter().filter_map(|p| match &p.element {
            Element::Resistor { value, between }
                if between.contains(&mid) && p.stage.as_deref() != Some("bias") =>
            {
                Some(value.0)
            }
            _ => None,
        });
        let leg = legs.fold(f64::INFINITY, f64::min);
        let impedance = 1.0 / (std::f64::consts::TAU * 650.0 * built.bias.reservoir.value.0);
        assert!(impedance <= 0.01 * leg, "{title}: {impedance} {leg}");
    }
}

/// What cannot be done is refused with figures.
#[test]
fn impossible_wishes_are_refused() {
    let mfb = [Topology::MultipleFeedbackBandPass];
    let said = |need: &Need, section: Section| realise(need, &[section], &mfb).unwrap_err().why;
    assert!(said(&need(), resonator(650.0, 40.0)).contains("Q up to 20"));
    let mut flat = need();
    flat.supply.lowest = Volts(3.0);
    assert!(said(&flat, resonator(650.0, 4.0)).contains("from 3 to 9 V"));
    let mut odd = need();
    odd.parts.resistors.series = "E13".to_owned();
    assert!(said(&odd, resonator(650.0, 4.0)).contains("E13"));
    let mut narrow = need();
    narrow.parts.capacitors.from = Farads(150e-9);
    narrow.parts.resistors.from = Ohms(100e3);
    assert!(said(&narrow, resonator(650.0, 4.0)).contains("allow a wider range"));
}
