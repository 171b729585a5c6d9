//! `narrows retune`. Order of trust: closed form, then round trip, then invariants.

use crate::run::{OLD_BOX, json, narrows, root, text, trouble};
use serde_json::Value;
use std::fs;

/// The shipped hand-typed circuit whose owner wants another pitch.
const HUMPS: &str = "examples/retune/four-humps.toml";

fn options(arguments: &[&str]) -> Vec<Value> {
    let mut all = vec!["retune"];
    all.extend_from_slice(arguments);
    all.push("--json");
    let outcome = json(&narrows(&all));
    assert_eq!(outcome["format"], "narrows retune 1");
    outcome["options"].as_array().unwrap().clone()
}

fn names(option: &Value) -> Vec<&str> {
    let swaps = option["swaps"].as_array().unwrap();
    swaps.iter().map(|s| s["ref"].as_str().unwrap()).collect()
}

fn error(option: &Value) -> f64 {
    option["error"]["total"].as_f64().unwrap()
}

fn refused(arguments: &[&str], says: &str) {
    let mut all = vec!["retune"];
    all.extend_from_slice(arguments);
    let output = narrows(&all);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    assert!(output.stdout.is_empty());
    let told = trouble(&output).replace('\n', " ");
    assert!(told.contains(says), "{arguments:?}: {told}");
}

/// Closed form: the ground leg alone moves the centre alone of a multiple-feedback stage, so two
/// stages take two swaps: 12 kΩ · (738/650)² with 390 kΩ beside it, 15.6 kΩ [OAFE §16.5.1.2].
#[test]
fn the_old_box_takes_its_two_ground_legs() {
    let options = options(&[OLD_BOX, "--pitch", "650 Hz"]);
    let two = options.iter().find(|o| names(o).len() == 2).unwrap();
    assert_eq!(names(two), ["R4", "R7"]);
    for swap in two["swaps"].as_array().unwrap() {
        assert!(["15k", "16k"].contains(&swap["to"].as_str().unwrap()));
    }
    assert_eq!(two["meets"], true);
}

/// Contract: fewest swaps first, every option with its swaps, its check and its error; each dearer
/// one comes nearer, and its own check agrees with what it promises.
#[test]
fn options_come_fewest_swaps_first() {
    let options = options(&[HUMPS, "--pitch", "600 Hz"]);
    assert!(options.len() >= 3);
    for pair in options.windows(2) {
        assert!(names(&pair[0]).len() < names(&pair[1]).len());
        assert!(error(&pair[0]) > error(&pair[1]));
    }
    assert_eq!(options[0]["proven"], true);
    for option in &options {
        let check = &option["check"];
        assert_eq!(check["format"], "narrows check 1");
        let centre = check["response"]["centre_hz"].as_f64().unwrap();
        let promised = 600.0 + option["error"]["centre_hz"].as_f64().unwrap();
        // The search interpolates edges to 3e-4 of the width, some 300 Hz.
        assert!((centre - promised).abs() < 0.2, "{centre} and {promised}");
        for swap in option["swaps"].as_array().unwrap() {
            assert_ne!(swap["from"], swap["to"]);
        }
    }
    assert!(error(options.last().unwrap()) < 0.5);
}

/// Round trip: the files written are the user's own with other values, and `check` finds in them
/// what was promised.
#[test]
fn the_files_keep_their_comments() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("new");
    let output = narrows(&[
        "retune".as_ref(),
        HUMPS.as_ref(),
        "--pitch".as_ref(),
        "600".as_ref(),
        "--json".as_ref(),
        "--out".as_ref(),
        place.as_os_str(),
    ]);
    let outcome = json(&output);
    let old = fs::read_to_string(root().join(HUMPS)).unwrap();
    for (k, option) in outcome["options"].as_array().unwrap().iter().enumerate() {
        let file = place.join(format!("retuned-{}.toml", k + 1));
        let new = fs::read_to_string(&file).unwrap();
        let changed: Vec<(&str, &str)> = old
            .lines()
            .zip(new.lines())
            .filter(|(a, b)| a != b)
            .collect();
        // Each swap is one line, and the pitch the file states is another.
        assert_eq!(changed.len(), names(option).len() + 1, "{changed:?}");
        assert_eq!(old.lines().count(), new.lines().count());
        assert!(new.contains("pitch = \"600 Hz\"") && new.contains("with a lens and a meter"));
        let report = json(&narrows(&[
            "check".as_ref(),
            file.as_os_str(),
            "--json".as_ref(),
        ]));
        assert_eq!(
            report["response"]["width_6db_hz"],
            option["check"]["response"]["width_6db_hz"]
        );
    }
}

/// Invariant: a part that is dear is left alone where others do nearly as well, one that is kept
/// always, and a drawer gives no more than it holds.
#[test]
fn prices_locks_and_drawers_are_minded() {
    let dear = options(&[HUMPS, "--pitch", "600", "--price", "R3=5,R8 = 5"]);
    for option in &dear {
        let swaps = names(option);
        let hard = swaps.iter().filter(|r| ["R3", "R8"].contains(r)).count();
        let price = (swaps.len() + 4 * hard) as f64;
        assert!((option["price"].as_f64().unwrap() - price).abs() < 1e-9);
    }
    assert!(!names(dear.iter().find(|o| names(o).len() == 3).unwrap()).contains(&"R3"));
    let kept = options(&[HUMPS, "--pitch", "600", "--keep", "R3,R8"]);
    let touched = |o: &Value| names(o).iter().any(|r| ["R3", "R8"].contains(r));
    assert!(!kept.iter().any(touched));
    let folder = tempfile::tempdir().unwrap();
    let drawer = folder.path().join("drawer.csv");
    let rows = "kind,value,quantity,measured\nresistor,30k,1,\nresistor,82k,2,\n\
                resistor,3k6,1,3.55k\nresistor,43k,5,\nresistor,6k2,5,\n";
    fs::write(&drawer, rows).unwrap();
    let owned = options(&[
        HUMPS,
        "--pitch",
        "600",
        "--drawer",
        drawer.to_str().unwrap(),
    ]);
    assert!(!owned.is_empty());
    for option in &owned {
        let mut used: Vec<&str> = Vec::new();
        for swap in option["swaps"].as_array().unwrap() {
            used.push(swap["to"].as_str().unwrap());
        }
        let there = ["30k", "82k", "3k55", "43k", "6k2"];
        assert!(used.iter().all(|v| there.contains(v)), "{used:?}");
        for single in ["30k", "3k55"] {
            assert!(used.iter().filter(|v| **v == single).count() <= 1);
        }
    }
}

/// Closed form: two resistors at the inputs move f0 ∝ √(1 + R2/R1) only, R1 from a tenth to ten
/// times 390 kΩ beside 12 kΩ: 738 Hz · √((1 + 12/3900)/(1 + 12/390)) and √((1 + 12/39)/…).
#[test]
fn what_is_beyond_the_parts_is_refused_with_the_bound() {
    refused(
        &[OLD_BOX, "--pitch", "650", "--only", "R3,R6"],
        "between 729 Hz and 831 Hz is within reach of R3, R6; it rises or falls with each",
    );
    refused(
        &[OLD_BOX, "--pitch", "650", "--only", "R9"],
        "R9 does not move it at all",
    );
}

#[test]
fn bad_wishes_are_told_with_a_way_out() {
    let pitch = |more: &[&str], says: &str| {
        let mut all = vec![HUMPS, "--pitch", "600"];
        all.extend_from_slice(more);
        refused(&all, says);
    };
    refused(&[HUMPS], "nothing is asked for");
    refused(&[HUMPS, "--width", "in proportion"], "add --pitch");
    refused(&[HUMPS, "--width", "wide"], "in proportion");
    refused(&[HUMPS, "--pitch", "1 MHz"], "allowed: 200 Hz to 1.2 kHz");
    pitch(&["--keep", "R99"], "did you mean R9?");
    pitch(&["--only", "U1A"], "only resistors and capacitors");
    pitch(
        &["--only", "R3", "--keep", "R3"],
        "leave one of the two out",
    );
    pitch(&["--price", "R3"], "write \"R3 = 5\"");
    pitch(&["--price", "R3 = 0"], "0.1 to 1000");
    pitch(
        &["--price", "R3=5", "--price", "r3=2"],
        "R3 has two prices, 5 and 2",
    );
    pitch(&["--only", ","], "names no part");
    pitch(&["--only", "r3", "--keep", "R3,"], "R3 is to change");
    pitch(&["--only", "R4,,r99"], "no part R99");
    let file = root().join(HUMPS);
    pitch(
        &["--out", file.to_str().unwrap()],
        "a file of that name is there, not a folder",
    );
    pitch(&["--resistors", "E25"], "the series \"E25\"");
    pitch(&["--resistors", "E24 1M to 1k"], "the range has to rise");
    pitch(&["--resistors", "E3 3M to 4M"], "has no resistor from 3 MΩ");
    pitch(
        &["--resistors", "E3 1M to 1.5M"],
        "R9, R10: no other value for it to choose from",
    );
    pitch(
        &["--keep", "R3,R4,R5,R6,R7,R8,R9,R10,R11"],
        "no part is left",
    );
    pitch(&["--most", "0"], "1 to 40 swaps");
    pitch(&["--trim"], "--measured");
    pitch(
        &["--trim", "--measured", "250 Hz"],
        "no matter of tolerances",
    );
    let folder = tempfile::tempdir().unwrap();
    let drawer = folder.path().join("drawer.csv");
    fs::write(&drawer, "kind,value\nopamp,TL072\n").unwrap();
    pitch(&["--drawer", drawer.to_str().unwrap()], "holds no resistor");
}

#[test]
fn a_circuit_that_does_it_already_is_left_alone() {
    let output = narrows(&["retune", HUMPS, "--pitch", "795"]);
    assert!(
        text(&output).contains("does that already"),
        "{}",
        text(&output)
    );
}

/// Closed form: f ∝ 1/C, so a circuit measured 2 % low has capacitors 2 % large; each stage gets
/// one resistor, across what is there when the pitch has to rise, in series when it has to fall.
#[test]
fn a_trim_names_a_resistor_a_stage() {
    let trim = |arguments: &[&str]| {
        let mut all = vec!["retune", HUMPS, "--trim", "--json"];
        all.extend_from_slice(arguments);
        json(&narrows(&all))["trim"].clone()
    };
    for (measured, pitch, across) in [("780", "796", true), ("812", "796", false)] {
        let trim = trim(&["--measured", measured, "--pitch", pitch]);
        let share = trim["capacitors_share"].as_f64().unwrap();
        let ratio = 795.5 / measured.parse::<f64>().unwrap();
        assert!((share - (ratio - 1.0)).abs() < 1e-3, "{share}");
        let trims = trim["trims"].as_array().unwrap();
        assert_eq!(trims.len(), 4);
        for t in trims {
            assert_eq!(t["across"], across, "{t}");
            let (from, to) = (
                t["from_ohm"].as_f64().unwrap(),
                t["to_ohm"].as_f64().unwrap(),
            );
            let add = t["add_ohm"].as_f64().unwrap();
            let made = if across {
                from * add / (from + add)
            } else {
                from + add
            };
            assert!((made / to - 1.0).abs() < 1e-9);
        }
        assert!(trim["after"]["total"].as_f64() < trim["before"]["total"].as_f64());
        assert!(trim["after_bought"]["total"].as_f64().unwrap() < 0.2);
    }
}

/// The last answer, and what its file says of each part that was swapped.
fn last_written(arguments: &[&str]) -> (Value, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("new");
    let mut all = vec!["retune"];
    all.extend_from_slice(arguments);
    all.extend(["--json", "--out", place.to_str().unwrap()]);
    let outcome = json(&narrows(&all));
    let last = outcome["options"].as_array().unwrap().len();
    let text = fs::read_to_string(place.join(format!("retuned-{last}.toml"))).unwrap();
    let option = outcome["options"][last - 1].clone();
    let written = |name: &&str| {
        let own = format!("ref = \"{name}\"");
        let mut parts = text.split("[[part]]");
        parts.find(|p| p.contains(&own)).unwrap().to_owned()
    };
    let parts = names(&option).iter().map(written).collect();
    (option, parts)
}

/// Contract: a part from the drawer is written as the piece that lies there, and what decouples or
/// is looser than the filter's parts stays in it.
#[test]
fn a_part_from_the_drawer_is_written_as_the_piece_it_is() {
    let drawer = "examples/drawer/drawer.csv";
    let wish = ["--pitch", "700", "--change", "capacitors"];
    let arguments = [&[HUMPS][..], &wish, &["--drawer", drawer]].concat();
    let (option, parts) = last_written(&arguments);
    let rows = fs::read_to_string(root().join(drawer)).unwrap();
    let rows: Vec<&str> = rows.lines().collect();
    let mut measured = 0;
    for (swap, part) in option["swaps"].as_array().unwrap().iter().zip(&parts) {
        let line = swap["line"].as_u64().unwrap() as usize;
        let cells: Vec<&str> = rows[line - 1].split(',').collect();
        assert!(
            ["polyester", "film", "C0G"].contains(&cells[3]),
            "{cells:?}"
        );
        let dielectric = format!("dielectric = \"{}\"", cells[3].to_lowercase());
        assert!(part.contains(&dielectric), "{part}");
        let piece = swap["piece"].as_str().unwrap_or_default();
        let is_measured = !cells[5].is_empty();
        let kept = if is_measured { "1 %" } else { cells[2] };
        assert!(part.contains(&format!("tolerance = \"{kept}\"")), "{part}");
        assert_eq!(
            part.contains(&format!("note = \"{piece}\"")),
            is_measured,
            "{part}"
        );
        if is_measured {
            measured += 1;
            assert!(piece.contains(&format!("(line {line} of the drawer)")));
        }
    }
    assert!(measured > 0, "{option}");
    let told = text(&narrows(&[&["retune"][..], &arguments].concat()));
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("marked ") && told.contains(" of the drawer)"));
    assert!(
        told.contains("unfit to tune with: capacitor 100 nF 10 % X7R"),
        "{told}"
    );
}

/// Contract: what was said of the old piece is not said of the new one, and a part that is none of
/// the filter's stays, unless it is named.
#[test]
fn old_notes_go_and_parts_beside_the_filter_stay() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("own.toml");
    let piece = "marked 22 nF, measured 21.4 nF, G (line 41 of the drawer)";
    let noted = format!("tolerance = \"1 %\"\nnote = \"{piece}\"");
    let stopper = "ref = \"R5\"\nstage = \"input\"\nrole = \"radio-frequency stopper\"";
    let humps = fs::read_to_string(root().join(HUMPS)).unwrap();
    let humps = humps
        .replace("tolerance = \"5 %\"", &noted)
        .replace("ref = \"R5\"", stopper);
    fs::write(&own, humps).unwrap();
    let own = own.to_str().unwrap();
    let wish = [own, "--pitch", "700"];
    let (_, parts) = last_written(&[&wish[..], &["--change", "capacitors"]].concat());
    assert!(!parts.is_empty());
    for part in parts {
        assert!(part.contains("tolerance = \"5 %\""), "{part}");
        assert!(!part.contains("note"), "{part}");
    }
    let kept = |more: &[&str]| {
        let all = [&["retune"], &wish[..], more, &["--json"]].concat();
        json(&narrows(&all))
    };
    let by_rule = kept(&[]);
    let reasons = by_rule["kept"].as_array().unwrap();
    let stopper = reasons
        .iter()
        .find(|k| k["why"] == "radio-frequency stopper");
    assert_eq!(stopper.unwrap()["refs"], serde_json::json!(["R5"]));
    assert!(
        !by_rule["may_change"]
            .as_array()
            .unwrap()
            .contains(&"R5".into())
    );
    let named = kept(&["--only", "R3,R4,R5,R6,R7,R8,R9,R10"]);
    assert!(
        named["may_change"]
            .as_array()
            .unwrap()
            .contains(&"R5".into())
    );
}
