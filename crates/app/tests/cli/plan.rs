//! `narrows plan`. Order of trust: two routes (the plan's own figures and `check` of the
//! file it wrote), then invariants of the shipped need.

use crate::run::{NEED, json, narrows, root, text, trouble};
use std::fs;

#[test]
fn the_shipped_need_is_met() {
    let outcome = json(&narrows(&["plan", NEED, "--json"]));
    assert_eq!(outcome["format"], "narrows plan 1");
    let designs = outcome["designs"].as_array().unwrap();
    assert!(designs.len() >= 3, "a frontier, not one winner");
    let first = &designs[0];
    assert_eq!(first["score"]["meets"], true, "{}", first["score"]);
    let check = &first["check"];
    assert!(check["response"]["width_6db_hz"].as_f64().unwrap() > 0.97 * 180.0);
    assert!(check["ringing"]["tail_20db_s"].as_f64().unwrap() < 1.03 * 0.012);
    for (neighbour, wanted) in check["neighbours"]
        .as_array()
        .unwrap()
        .iter()
        .zip([30.0, 24.0])
    {
        assert!(neighbour["down_db"].as_f64().unwrap() > wanted - 0.3);
    }
    for (rank, design) in designs.iter().enumerate() {
        assert_eq!(design["rank"], rank + 1);
    }
}

#[test]
fn what_is_written_checks_as_planned() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("project");
    let outcome = json(&narrows(&[
        "plan".as_ref(),
        NEED.as_ref(),
        "--json".as_ref(),
        "--out".as_ref(),
        out.as_os_str(),
    ]));
    for design in outcome["designs"].as_array().unwrap() {
        let file = out.join(format!("circuit-{}.toml", design["rank"]));
        assert_eq!(
            fs::read_to_string(&file).unwrap(),
            design["circuit_toml"].as_str().unwrap()
        );
        let check = json(&narrows(&[
            "check".as_ref(),
            file.as_os_str(),
            "--json".as_ref(),
        ]));
        assert_eq!(check, design["check"], "{}", file.display());
    }
    for name in ["sheet.html", "parts.csv", "schematic.svg"] {
        assert!(fs::metadata(out.join(name)).unwrap().len() > 200, "{name}");
    }
}

#[test]
fn the_same_need_gives_the_same_plan() {
    assert_eq!(
        narrows(&["plan", NEED, "--json"]).stdout,
        narrows(&["plan", NEED, "--json"]).stdout
    );
}

#[test]
fn a_need_that_physics_forbids_is_told_with_the_bound() {
    let need = fs::read_to_string(root().join(NEED)).unwrap();
    let hard = need
        .replace(
            "\"+350 Hz\", down = \"30 dB\"",
            "\"+60 Hz\", down = \"40 dB\"",
        )
        .replace(
            "\"-350 Hz\", down = \"24 dB\"",
            "\"-60 Hz\", down = \"40 dB\"",
        );
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("need.toml");
    fs::write(&file, hard).unwrap();
    let outcome = json(&narrows(&[
        "plan".as_ref(),
        file.as_os_str(),
        "--json".as_ref(),
    ]));
    assert_eq!(outcome["designs"][0]["score"]["meets"], false);
    // Δ·T ≥ acosh(10^(40/20))/π = 1.686 [DOLPH]: at 60 Hz T is at least 28.1 ms.
    let bound = outcome["unmet"]["bound"].as_str().unwrap();
    assert!(bound.contains("28.1 ms"), "{bound}");
    // 180 Hz wide reaches 90 Hz to either side: both neighbours stand within.
    let clash = outcome["unmet"]["clash"].as_str().unwrap();
    assert!(
        clash.contains("90 Hz") && clash.contains("+60 Hz and -60 Hz"),
        "{clash}"
    );
    assert!(!outcome["unmet"]["ways"].as_array().unwrap().is_empty());
}

#[test]
fn a_need_of_one_line_is_filled_and_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("need.toml");
    fs::write(
        &file,
        "format = \"narrows need 1\"\n[listening]\npitch = \"600 Hz\"\n",
    )
    .unwrap();
    let output = narrows(&["plan".as_ref(), file.as_os_str()]);
    assert!(output.status.success());
    let said = text(&output);
    assert!(
        said.contains("assumed") && said.contains("quarter of a dit"),
        "{said}"
    );
}

/// Contract: without phones there is no driver for them, no loudness and no word of it, and
/// what is written says so again when it is checked.
#[test]
fn a_line_output_has_no_phones_driver_and_no_loudness() {
    let need = fs::read_to_string(root().join(NEED)).unwrap();
    let phones = "phones    = { impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }";
    assert!(need.contains(phones));
    let line = need
        .replace(phones, "phones = \"none\"\nload = \"22k\"")
        .replace("\"-12 dB\"", "\"0 dB\"");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("need.toml");
    fs::write(&file, line).unwrap();
    let out = folder.path().join("project");
    let outcome = json(&narrows(&[
        "plan".as_ref(),
        file.as_os_str(),
        "--json".as_ref(),
        "--out".as_ref(),
        out.as_os_str(),
    ]));
    assert_eq!(outcome["need"]["phones"], false);
    assert_eq!(outcome["need"]["load_ohm"], 22e3);
    for design in outcome["designs"].as_array().unwrap() {
        let toml = design["circuit_toml"].as_str().unwrap();
        assert!(toml.contains("phones = \"none\"") && toml.contains("\"22k\""));
        assert!(!toml.contains("stage = \"phones\""), "{toml}");
        let check = &design["check"];
        assert!(check["listener"]["loudest_spl_db"].is_null());
        assert!(check["listener"]["comfortable_spl_db"].is_null());
        let findings = check["findings"].as_array().unwrap();
        let said = |id: &str| findings.iter().any(|f| f["id"] == id);
        assert!(!said("loud") && !said("phones_drive"), "{findings:?}");
    }
    let sheet = fs::read_to_string(out.join("sheet.html")).unwrap();
    assert!(sheet.contains("Line output for an amplifier or a computer"));
    let again = json(&narrows(&[
        "check".as_ref(),
        out.join("circuit-1.toml").as_os_str(),
        "--json".as_ref(),
    ]));
    assert_eq!(again, outcome["designs"][0]["check"]);
}

/// Invariant: what a plain terminal shows is not broken by it.
#[test]
fn everything_said_fits_eighty_columns() {
    let said = text(&narrows(&["plan", NEED]));
    let longest = said.lines().map(|l| l.chars().count()).max().unwrap();
    assert!(longest <= 80, "{longest} columns:\n{said}");
    let outcome = json(&narrows(&["plan", NEED, "--json"]));
    for design in outcome["designs"].as_array().unwrap() {
        let family = design["family"].as_str().unwrap();
        let row = format!("  {:>2}  {family} ", design["rank"].as_u64().unwrap());
        assert!(said.contains(&row), "no row of {family}:\n{said}");
    }
}

/// Invariant: nothing is left unsaid. Every way of building and every family is among the
/// designs, or stands with the reason why it is not.
#[test]
fn every_way_of_building_is_offered_or_refused() {
    let outcome = json(&narrows(&["plan", NEED, "--json"]));
    let words = |list: &str, key: &str| -> Vec<String> {
        let each = outcome[list].as_array().unwrap().iter();
        each.map(|d| d[key].as_str().unwrap().to_owned()).collect()
    };
    let mut said = words("designs", "topology");
    said.extend(words("designs", "family"));
    said.extend(words("refused", "family"));
    for name in [
        "multiple feedback",
        "unity-gain low-pass and high-pass",
        "multiple-feedback low-pass and high-pass",
        "equal-component low-pass and high-pass",
        "two-op-amp resonators",
        "two-integrator rings",
        "state variable",
        "Sallen–Key band-pass",
        "calm",
        "calm and steep",
        "calm with a pair of nulls",
        "Bessel",
        "Gaussian",
        "Butterworth",
        "identical stages",
    ] {
        assert!(said.iter().any(|s| s == name), "{name} is in {said:?}");
    }
}

/// A need with a drawer: the file beside it is read, and a missing or faulty one is told.
#[test]
fn the_drawer_beside_the_need_is_read() {
    let planned = json(&narrows(&["plan", "examples/drawer/need.toml", "--json"]));
    let first = &planned["designs"][0];
    assert!(first["from_drawer"].as_array().unwrap().len() > 10);
    assert!(first["buy"].is_array());
    let folder = tempfile::tempdir().unwrap();
    let need = folder.path().join("need.toml");
    fs::copy(root().join("examples/drawer/need.toml"), &need).unwrap();
    let told = |words: &str| {
        let output = narrows(&["plan".as_ref(), need.as_os_str()]);
        assert_eq!(output.status.code(), Some(2));
        assert!(trouble(&output).contains(words), "{}", trouble(&output));
        assert!(trouble(&output).contains("drawer.csv"));
    };
    told("no such file");
    fs::write(
        folder.path().join("drawer.csv"),
        "kind,value\nresistor,10m\n",
    )
    .unwrap();
    told("10 MΩ");
}
