//! The op-amp data: physically possible, internally consistent, and ordered as the
//! technologies are (common practice). No value is checked against itself.

use parts::{OpampModel, OpampType, find_opamp, opamp, opamp_type, opamp_types, opamps};
use parts::{power_amplifier, power_amplifiers};

/// Elementary charge, C (exact, SI Brochure 2019).
const ELECTRON_C: f64 = 1.602_176_634e-19;

fn of_class(word: &str) -> Vec<&'static OpampType> {
    let found: Vec<_> = opamp_types()
        .iter()
        .filter(|t| t.class.contains(word))
        .collect();
    assert!(!found.is_empty(), "no type of class {word}");
    found
}

fn model(name: &str) -> &'static OpampModel {
    opamp(name).unwrap_or_else(|| panic!("{name} is not in the data"))
}

#[test]
fn the_classes_a_homebuilder_meets_are_there() {
    assert!(opamps().len() >= 16);
    for name in [
        "LM358", "LM324", "TL071", "TL072", "TL074", "TL081", "TL082", "TL084", "LF353", "NE5532",
        "NE5534", "RC4558", "LM833", "LM741", "MCP6002", "MCP6022", "TLV2372", "OPA2134",
    ] {
        assert_eq!(model(name).name, name);
    }
}

#[test]
fn every_number_is_possible() {
    for m in opamps() {
        let n = &m.name;
        let within = |what: &str, v: f64, low: f64, high: f64| {
            assert!(
                (low..=high).contains(&v),
                "{n}: {what} {v} outside {low} to {high}"
            );
        };
        within("gain", m.dc_gain, 1e3, 1e7);
        within("gain-bandwidth", m.gain_bandwidth.0, 1e5, 1e8);
        within("input resistance", m.input_resistance.0, 1e4, 1e14);
        within("input capacitance", m.input_capacitance.0, 0.5e-12, 20e-12);
        within("output resistance", m.output_resistance.0, 1.0, 5e3);
        within("voltage noise", m.voltage_noise.white, 0.8e-9, 1e-7);
        within("voltage noise corner", m.voltage_noise.corner.0, 1.0, 5e3);
        within("current noise", m.current_noise.white, 1e-17, 1e-11);
        within("current noise corner", m.current_noise.corner.0, 0.0, 5e3);
        within("offset", m.offset.0, 1e-5, 1e-2);
        within("bias current", m.bias_current.0.abs(), 1e-14, 1e-6);
        within("slew", m.slew_v_per_s, 1e5, 1e8);
        within("output current", m.output_current.0, 1e-3, 0.2);
        within("supply current", m.supply_current.0, 1e-5, 1e-2);
        within("least supply", m.supply_range.0.0, 1.5, 10.0);
        within("greatest supply", m.supply_range.1.0, 5.0, 44.0);
        for limit in [m.common_mode, m.swing] {
            within("below positive", limit.below_positive.0, -0.5, 3.0);
            within("above negative", limit.above_negative.0, -0.5, 3.0);
            let room = m.supply_range.0.0 - limit.below_positive.0 - limit.above_negative.0;
            assert!(room > 0.0, "{n}: no room left at its least supply");
        }
        assert!(m.source.contains("check your datasheet"), "{n}");
    }
}

/// Physical invariant: a bias current carries shot noise sqrt(2 q I), so the current
/// noise of a bipolar input cannot lie under it; and a slew rate that is set by a
/// differential pair cannot lie under 2π·GBW·kT/q·2 by much (2 V_T for bipolar pairs).
#[test]
fn noise_and_slew_obey_physics() {
    for t in opamp_types().iter().filter(|t| t.class.contains("bipolar")) {
        let m = &t.model;
        let shot = (2.0 * ELECTRON_C * m.bias_current.0.abs()).sqrt();
        assert!(m.current_noise.white >= 0.6 * shot, "{}: {shot}", m.name);
    }
    for m in opamps() {
        let pair = std::f64::consts::TAU * m.gain_bandwidth.0 * 2.0 * 0.02585;
        assert!(m.slew_v_per_s > 0.5 * pair, "{}: {pair}", m.name);
    }
}

/// Ordering of technologies (common practice): gate currents are far under base
/// currents; single-supply types reach 0 V; low-voltage CMOS does not survive 9 V; JFET
/// types slew faster than general-purpose bipolar; low-noise bipolar hisses least.
#[test]
fn technologies_are_ordered_as_they_are() {
    let bias = |t: &OpampType| t.model.bias_current.0.abs();
    let noisiest_gate = of_class("JFET")
        .into_iter()
        .chain(of_class("CMOS"))
        .map(bias);
    let least_base = of_class("bipolar")
        .into_iter()
        .map(bias)
        .fold(1.0, f64::min);
    assert!(noisiest_gate.fold(0.0, f64::max) * 50.0 < least_base);
    for t in of_class("single-supply") {
        assert!(
            t.model.common_mode.above_negative.0 <= 0.0,
            "{}",
            t.model.name
        );
        assert!(t.model.swing.above_negative.0 < 0.1, "{}", t.model.name);
        assert!(t.model.supply_range.0.0 <= 3.0, "{}", t.model.name);
    }
    for t in of_class("low-voltage") {
        assert!(t.model.supply_range.1.0 < 7.0, "{}", t.model.name);
        assert!(t.caution.is_some(), "{}", t.model.name);
    }
    let least_jfet_slew = of_class("JFET")
        .iter()
        .map(|t| t.model.slew_v_per_s)
        .fold(f64::MAX, f64::min);
    for t in of_class("general-purpose") {
        assert!(t.model.slew_v_per_s < least_jfet_slew, "{}", t.model.name);
    }
    let noise = |t: &OpampType| t.model.voltage_noise.white;
    let worst_quiet = of_class("low-noise")
        .into_iter()
        .map(noise)
        .fold(0.0, f64::max);
    for t in opamp_types().iter().filter(|t| t.class == "JFET input") {
        assert!(noise(t) > worst_quiet, "{}", t.model.name);
    }
}

#[test]
fn pins_are_unique_and_fill_the_package() {
    for m in opamps() {
        let p = &m.pinout;
        assert_eq!(p.units.len(), p.amplifiers, "{}", m.name);
        let mut pins: Vec<u8> = p.units.iter().flat_map(|u| [u.0, u.1, u.2]).collect();
        pins.extend([p.positive, p.negative]);
        let count = pins.len();
        pins.sort_unstable();
        pins.dedup();
        assert_eq!(pins.len(), count, "{}: a pin is used twice", m.name);
        let (package, last) = match p.amplifiers {
            1 => ("single", 8),
            2 => ("dual", 8),
            _ => ("quad", 14),
        };
        assert!(
            pins.iter().all(|pin| (1..=last).contains(pin)),
            "{}",
            m.name
        );
        assert!(m.family.ends_with(package), "{}: {}", m.name, m.family);
    }
}

#[test]
fn names_are_unique_and_found_however_they_are_written() {
    let mut names: Vec<&str> = opamp_types()
        .iter()
        .flat_map(|t| std::iter::once(&t.model.name).chain(&t.aliases))
        .map(String::as_str)
        .collect();
    for name in &names {
        assert!(opamp(name).is_some(), "{name}");
    }
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count);
    for (written, name) in [
        ("tl072", "TL072"),
        (" TL 072 ", "TL072"),
        ("TL072CP", "TL072"),
        ("LM358N", "LM358"),
        ("MCP6002-I/P", "MCP6002"),
        ("µA741", "LM741"),
        ("jrc4558d", "RC4558"),
        ("NE5532P", "NE5532"),
        ("NJM4556AD", "NJM4556A"),
        ("ideal", "ideal"),
    ] {
        assert_eq!(model(written).name, name, "{written}");
    }
    for unknown in [
        "",
        "TL07",
        "TL0722",
        "LM3580",
        "XX",
        "TL072 or so, see text",
    ] {
        assert!(opamp(unknown).is_none(), "{unknown}");
    }
    assert_eq!(
        opamp_type("LM741")
            .and_then(|t| t.caution.as_deref())
            .map(str::is_empty),
        Some(false)
    );
}

#[test]
fn an_unknown_type_gets_the_nearest_names() {
    let objection = find_opamp("TL073").expect_err("no such type");
    assert!(objection.advice.contains("TL07"), "{}", objection.advice);
    assert!(objection.allowed.contains("NE5532"));
    let objection = find_opamp("LM386").expect_err("no op-amp");
    assert!(
        objection.found.contains("fixed inside"),
        "{}",
        objection.found
    );
    let objection = find_opamp("quux").expect_err("no such type");
    assert!(objection.advice.contains("inline"), "{}", objection.advice);
}

#[test]
fn power_amplifiers_are_possible() {
    assert!(!power_amplifiers().is_empty());
    assert_eq!(
        power_amplifier("386").map(|a| a.name.as_str()),
        Some("LM386")
    );
    assert_eq!(
        power_amplifier("lm386n").map(|a| a.name.as_str()),
        Some("LM386")
    );
    assert!(
        opamp("LM386").is_none(),
        "a fixed-gain amplifier is no op-amp"
    );
    for a in power_amplifiers() {
        assert!(
            a.gain_range.0 <= a.gain && a.gain <= a.gain_range.1,
            "{}",
            a.name
        );
        assert!(a.supply_range.0 < a.supply_range.1, "{}", a.name);
        assert!((1e-3..0.02).contains(&a.supply_current.0), "{}", a.name);
        let mut pins = vec![
            a.pins.plus,
            a.pins.minus,
            a.pins.out,
            a.pins.positive,
            a.pins.negative,
            a.pins.bypass,
            a.pins.gain[0],
            a.pins.gain[1],
        ];
        pins.sort_unstable();
        pins.dedup();
        assert_eq!(pins.len(), 8, "{}", a.name);
    }
}
