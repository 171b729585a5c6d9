//! `narrows check`. Order of trust: closed form, then two independent routes.

use crate::run::{OLD_BOX, json, narrows, root, text};
use std::f64::consts::PI;
use std::fs;

/// Ideal multiple-feedback stages in a row between ideal ends, as the handbooks draw them: input leg,
/// ground leg and feedback resistor of each, and its two capacitors.
fn stages(rows: &[[&str; 4]]) -> String {
    let mut text = format!(
        "format = \"narrows circuit 1\"\ninput = \"n0\"\noutput = \"n{}\"\n\
         source = {{ impedance = \"0 ohm\" }}\n",
        rows.len()
    );
    for (k, [r1, r2, r3, c]) in rows.iter().enumerate() {
        let (input, output) = (format!("n{k}"), format!("n{}", k + 1));
        let (a, b) = (format!("a{k}"), format!("b{k}"));
        for (name, kind, value, from, to) in [
            (format!("R{}", 3 * k + 1), "resistor", r1, &input, &a),
            (
                format!("R{}", 3 * k + 2),
                "resistor",
                r2,
                &a,
                &"0".to_owned(),
            ),
            (format!("R{}", 3 * k + 3), "resistor", r3, &b, &output),
            (format!("C{}", 2 * k + 1), "capacitor", c, &a, &output),
            (format!("C{}", 2 * k + 2), "capacitor", c, &a, &b),
        ] {
            text += &format!(
                "[[part]]\nref = \"{name}\"\nkind = \"{kind}\"\nvalue = \"{value}\"\n\
                 between = [\"{from}\", \"{to}\"]\n"
            );
        }
        text += &format!(
            "[[part]]\nref = \"U{}\"\nkind = \"opamp\"\ntype = \"ideal\"\nplus = \"0\"\n\
             minus = \"{b}\"\nout = \"{output}\"\n",
            k + 1
        );
    }
    text
}

fn stage(r1: &str, r2: &str, r3: &str, c: &str) -> String {
    stages(&[[r1, r2, r3, c]])
}

fn checked(circuit: &str, pitch: &str) -> serde_json::Value {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("circuit.toml");
    fs::write(&file, circuit).unwrap();
    json(&narrows(&[
        "check".as_ref(),
        file.as_os_str(),
        "--json".as_ref(),
        "--pitch".as_ref(),
        pitch.as_ref(),
    ]))
}

fn close(found: &serde_json::Value, expected: f64, relative: f64, what: &str) {
    let found = found.as_f64().unwrap_or(f64::NAN);
    assert!(
        (found / expected - 1.0).abs() < relative,
        "{what}: {found}, expected {expected}"
    );
}

#[test]
fn the_handbook_stage_of_1_khz_and_q_10() {
    // Published example: 1 kHz, Q 10, gain 2, 100 nF: 7.96 kΩ, 80.4 Ω, 31.8 kΩ [OAFE 16-5];
    // expected values from its closed form with these very parts.
    let report = checked(&stage("7958", "80.38", "31830", "100n"), "1 kHz");
    let pole = &report["poles"][0];
    close(&pole["f_hz"], 1000.0, 2e-4, "f0");
    close(&pole["q"], 10.0, 2e-4, "Q");
    close(
        &report["response"]["peak_db"],
        20.0 * 2f64.log10(),
        1e-3,
        "gain",
    );
    // −3 dB edges of a resonator: f0 (√(1 + 1/4Q²) ∓ 1/2Q), 951.249 and 1051.249 Hz.
    close(&report["response"]["width_3db_hz"], 100.0, 3e-4, "width");
    close(&report["response"]["centre_hz"], 1000.0, 2e-4, "centre");
}

#[test]
fn the_handbook_stage_of_800_hz_and_q_5() {
    // 800 Hz, Q 5, K 2, 22 nF: 22.6 kΩ, 942 Ω, 90.4 kΩ (handbook of the hobby, from memory);
    // with the suggested 22 k, 910, 91 k: 811.3 Hz, Q 5.10, gain 2.07 (recomputed).
    let ideal = checked(&stage("22607", "942.0", "90430", "22n"), "800 Hz");
    close(&ideal["poles"][0]["f_hz"], 800.0, 2e-4, "f0");
    close(&ideal["poles"][0]["q"], 5.0, 2e-4, "Q");
    let suggested = checked(&stage("22k", "910", "91k", "22n"), "800 Hz");
    close(&suggested["poles"][0]["f_hz"], 811.3, 1e-4, "f0");
    close(&suggested["poles"][0]["q"], 5.10, 1e-3, "Q");
    close(
        &suggested["response"]["peak_db"],
        20.0 * 2.068f64.log10(),
        2e-3,
        "gain",
    );
}

#[test]
fn the_handbook_butterworth_of_sixth_order() {
    // Published example, 1 kHz, 100 Hz wide, stage gains 2, 1, 2, 10 nF: 166.4 k, 416.1, 665.5 k;
    // 159.2 k, 799.8, 318.3 k; 152.6 k, 381.6, 610.2 k [FRANCO, example 4.5]. Here the
    // exact stages (recomputed), whose centre gain is 0.99813.
    let report = checked(
        &stages(&[
            ["166353.77", "416.144029", "665415.08", "10n"],
            ["159154.94", "799.773583", "318309.89", "10n"],
            ["152553.32", "381.621365", "610213.28", "10n"],
        ]),
        "1 kHz",
    );
    for (pole, (f_hz, q)) in [(957.62, 20.019), (1000.0, 10.0), (1044.25, 20.019)]
        .into_iter()
        .enumerate()
    {
        close(&report["poles"][pole]["f_hz"], f_hz, 6e-6, "f0");
        close(&report["poles"][pole]["q"], q, 3e-5, "Q");
    }
    let response = &report["response"];
    close(&response["centre_hz"], 1000.0, 1e-6, "centre");
    close(&response["width_3db_hz"], 100.0, 1e-5, "half-power width");
    let gain = response["gain_at_pitch_db"].as_f64().unwrap_or(f64::NAN);
    assert!((gain - 20.0 * 0.99813f64.log10()).abs() < 1e-4, "{gain}");
    // Down 60 dB where x³ = 1000, x = (f/f0 − f0/f)/0.1: ten times the width.
    let sixty = 1000.0 * (10f64.powi(6) - 1.0).powf(1.0 / 6.0) / 10.0;
    close(&response["width_60db_hz"], sixty, 1e-3, "width 60 dB down");
}

#[test]
fn one_resonator_rings_as_its_closed_form_says() {
    // Envelope τ = Q/(π f0), 20 dB down after τ ln 10. The pole at the negative frequency
    // adds a ripple of 1/(4Q), which moves a crossing by no more than τ/(4Q) and a little.
    let report = checked(&stage("7958", "80.38", "31830", "100n"), "1 kHz");
    let tau = 10.0 / (PI * 1000.0);
    let ripple = 1.1 / (4.0 * 10.0);
    close(
        &report["ringing"]["tail_20db_s"],
        tau * 10f64.ln(),
        ripple / 10f64.ln(),
        "tail to −20 dB",
    );
    close(
        &report["ringing"]["tail_40db_s"],
        tau * 100f64.ln(),
        ripple / 100f64.ln(),
        "tail to −40 dB",
    );
}

#[test]
fn the_frequencies_asked_for_are_exactly_those_given() {
    let report = json(&narrows(&[
        "check",
        OLD_BOX,
        "--json",
        "--at",
        "500,650Hz,1k",
    ]));
    let points = report["response"]["points"].as_array().unwrap();
    let at: Vec<f64> = points.iter().map(|p| p["f_hz"].as_f64().unwrap()).collect();
    assert_eq!(at, [500.0, 650.0, 1000.0]);
}

#[test]
fn every_name_of_the_contract_is_there() {
    let report = json(&narrows(&["check", OLD_BOX, "--json"]));
    for path in [
        "/format",
        "/title",
        "/pitch_hz",
        "/response/centre_hz",
        "/response/peak_db",
        "/response/gain_at_pitch_db",
        "/response/width_3db_hz",
        "/response/width_6db_hz",
        "/response/width_30db_hz",
        "/response/width_60db_hz",
        "/response/edges_6db_hz",
        "/response/shape_factor",
        "/response/noise_width_hz",
        "/response/delay_at_pitch_s",
        "/response/points/0/f_hz",
        "/response/points/0/gain_db",
        "/response/points/0/phase_deg",
        "/response/points/0/delay_s",
        "/ringing/tail_20db_s",
        "/ringing/tail_40db_s",
        "/ringing/tail_20db_dits",
        "/ringing/overshoot_db",
        "/ringing/gap_quiet_share",
        "/ringing/speed_wpm",
        "/ringing/limit_ratio",
        "/neighbours/0/offset_hz",
        "/neighbours/0/down_db",
        "/poles/0/re_rad_s",
        "/poles/0/im_rad_s",
        "/poles/0/f_hz",
        "/poles/0/q",
        "/zeros",
        "/noise/output_v_rms",
        "/noise/input_density_v_rthz",
        "/noise/by_part/0/ref",
        "/noise/by_part/0/output_v_rms",
        "/levels/stages/0/node",
        "/levels/stages/0/gain_at_pitch_db",
        "/levels/stages/0/peak_gain_db",
        "/levels/stages/0/peak_gain_hz",
        "/levels/clips_at_input_v_peak/at_pitch",
        "/levels/clips_at_input_v_peak/worst",
        "/levels/clips_at_input_v_peak/worst_hz",
        "/levels/slew_ok",
        "/supply/current_a",
        "/supply/battery_h",
        "/dc/nodes/0/node",
        "/dc/nodes/0/volts",
        "/listener/hiss_drop_db",
        "/listener/ear_gain_db",
        "/listener/loudest_spl_db",
        "/findings/0/id",
        "/findings/0/severity",
        "/findings/0/text",
        "/findings/0/why",
        "/findings/0/do",
        "/findings/0/source",
    ] {
        assert!(report.pointer(path).is_some(), "no {path}");
    }
    assert_eq!(report["format"], "narrows check 1");
}

#[test]
fn strict_ends_with_1_when_a_problem_stands() {
    assert_eq!(narrows(&["check", OLD_BOX]).status.code(), Some(0));
    assert_eq!(
        narrows(&["check", OLD_BOX, "--strict"]).status.code(),
        Some(1)
    );
}

#[test]
fn the_old_box_is_told_from_the_pitch() {
    // 390k/12k/820k/2.2n twice: 740.4 Hz, Q 4.20, 113.6 Hz wide in all (recomputed from
    // the closed form); the op-amp's 1 MHz takes 0.3 % of it, source and bias a little.
    let output = narrows(&["check", OLD_BOX, "--json"]);
    let report = json(&output);
    close(&report["response"]["centre_hz"], 740.4, 6e-3, "centre");
    close(&report["response"]["width_3db_hz"], 113.6, 0.015, "width");
    assert!(text(&narrows(&["check", OLD_BOX])).contains("retune the filter down"));
}

/// Contract: a circuit that latches has no response, tail or noise; they are null with a finding,
/// a dash in the text, and no sheet is made of it. What stands at rest is told as ever.
#[test]
fn a_latched_circuit_gets_no_figures_of_signals() {
    let good = fs::read_to_string(root().join(OLD_BOX)).unwrap();
    let inputs = "plus = \"mid\"\nminus = \"n1\"";
    assert!(good.contains(inputs));
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("circuit.toml");
    fs::write(
        &file,
        good.replace(inputs, "plus = \"n1\"\nminus = \"mid\""),
    )
    .unwrap();
    let report = json(&narrows(&[
        "check".as_ref(),
        file.as_os_str(),
        "--json".as_ref(),
    ]));
    for key in [
        "response",
        "ringing",
        "neighbours",
        "poles",
        "zeros",
        "noise",
        "levels",
        "listener",
    ] {
        assert!(report[key].is_null(), "{key}: {}", report[key]);
    }
    assert!(report["withheld"].as_str().unwrap().contains("U1A"));
    assert!(report["supply"]["current_a"].as_f64().unwrap() > 0.0);
    assert!(!report["dc"]["nodes"].as_array().unwrap().is_empty());
    let findings = report["findings"].as_array().unwrap();
    assert!(
        findings
            .iter()
            .any(|f| f["id"] == "no_figures" && f["severity"] == "problem")
    );
    let said = text(&narrows(&["check".as_ref(), file.as_os_str()]));
    assert!(said.contains("  width       –\n"), "{said}");
    let sheet = narrows(&["sheet".as_ref(), file.as_os_str()]);
    assert_eq!(sheet.status.code(), Some(2));
    assert!(sheet.stdout.is_empty());
    let sound = json(&narrows(&["check", OLD_BOX, "--json"]));
    assert!(sound["withheld"].is_null() && sound["response"].is_object());
}
