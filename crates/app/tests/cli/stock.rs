//! `narrows stock`. Order of trust: the contract of its document, invariants of the file.

use crate::run::{DRAWER, json, narrows, root, text, trouble};
use std::fs;
use std::path::PathBuf;
use std::process::Output;

/// A copy of the shipped drawer that may be changed.
fn copied() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.csv");
    fs::copy(root().join(DRAWER), &file).unwrap();
    (folder, file)
}

fn stock(file: &std::path::Path, options: &[&str]) -> Output {
    let mut words = vec!["stock".as_ref(), file.as_os_str()];
    words.extend(options.iter().map(std::ffi::OsStr::new));
    narrows(&words)
}

#[test]
fn the_list_has_every_row_in_order() {
    let listed = json(&narrows(&["stock", DRAWER, "--json"]));
    assert_eq!(listed["format"], "narrows stock 1");
    let parts = listed["parts"].as_array().unwrap();
    let shipped = fs::read_to_string(root().join(DRAWER)).unwrap();
    let rows = shipped
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'));
    assert_eq!(parts.len(), rows.count() - 1);
    let farads: Vec<f64> = parts.iter().filter_map(|p| p["value_f"].as_f64()).collect();
    assert!(farads.len() > 10 && farads.is_sorted(), "{farads:?}");
    let piece = parts.iter().find(|p| p["note"] == "C").unwrap();
    assert!((piece["measured_f"].as_f64().unwrap() - 10.35e-9).abs() < 1e-18);
    assert!((piece["deviation"].as_f64().unwrap() - 0.035).abs() < 1e-12);
    let pieces: u64 = parts.iter().filter_map(|p| p["quantity"].as_u64()).sum();
    assert_eq!(listed["pieces"].as_u64(), Some(pieces));
}

#[test]
fn a_change_touches_its_row_and_keeps_the_version_before() {
    let (folder, file) = copied();
    let before = fs::read_to_string(&file).unwrap();
    let output = stock(
        &file,
        &["--add", "resistor 12k 1% x5", "--take", "resistor 15k x3"],
    );
    assert!(output.status.success(), "{}", trouble(&output));
    assert!(
        text(&output).contains("resistor 12 kΩ 1 %: 20 → 25"),
        "{}",
        text(&output)
    );
    let kept = format!("kept  the version before, as {}.prev", file.display());
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (said, kept) = (flat(&text(&output)), flat(&kept));
    assert!(said.contains(&kept), "{said}");
    let after = fs::read_to_string(&file).unwrap();
    let expected = before
        .replace("12k,1 %,,20", "12k,1 %,,25")
        .replace("15k,1 %,,18", "15k,1 %,,15");
    assert_eq!(after, expected);
    let previous = folder.path().join("mine.csv.prev");
    assert_eq!(fs::read_to_string(previous).unwrap(), before);
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        2,
        "no leftovers"
    );
}

/// One piece, one row, a code as the trade prints it; what is said to be kept is there.
#[test]
fn words_agree_with_their_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("one.csv");
    fs::write(&file, "kind,value,dielectric\ncapacitor,1n,np0\n").unwrap();
    let listed = text(&stock(&file, &["--count", "capacitor 1n x1"]));
    assert!(listed.contains("one.csv: 1 piece in 1 row\n"), "{listed}");
    assert!(
        listed.contains("1 × 1 nF") && listed.contains("C0G"),
        "{listed}"
    );
    let kept = folder.path().join("one.csv.prev").exists();
    assert_eq!(kept, listed.contains("  kept  "), "{listed}");
}

#[test]
fn a_mark_and_line_ends_of_a_spreadsheet_stay() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("sheet.csv");
    fs::write(
        &file,
        "\u{feff}Kind;Value;Quantity\r\nresistor;\"4,7k\";3\r\n",
    )
    .unwrap();
    assert!(
        stock(&file, &["--count", "resistor 4k7 x9"])
            .status
            .success()
    );
    let after = fs::read_to_string(&file).unwrap();
    assert_eq!(
        after,
        "\u{feff}Kind;Value;Quantity\r\nresistor;\"4,7k\";9\r\n"
    );
}

/// Nothing of a list of changes is made unless all can be.
#[test]
fn a_change_that_cannot_be_made_is_told_and_nothing_is_written() {
    let (folder, file) = copied();
    let before = fs::read_to_string(&file).unwrap();
    for (options, words) in [
        (["--add", "resistor 4x7"], "after the number"),
        (["--add", "resistor 10m x2"], "10 MΩ"),
        (["--take", "resistor 12k x21"], "21 asked for and 20 there"),
        (["--take", "capacitor 22n"], "4 there, all measured"),
        (["--add", "resistor 4k7 x20"], "no tolerance"),
        (["--take", "resistor 12k no tolerance"], "no resistor 12 kΩ"),
        (["--measured", "capacitor 4n7"], "no measured value"),
        (["--count", "resistor 999k x2"], "in the drawer"),
    ] {
        let first = ["--add", "resistor 1k 1 % x1"];
        let output = stock(&file, &[first, options].concat());
        let message = trouble(&output);
        assert_eq!(output.status.code(), Some(2), "{message}");
        for part in [words, options[0], "^", "help:"] {
            assert!(message.contains(part), "no {part:?} in\n{message}");
        }
        assert_eq!(fs::read_to_string(&file).unwrap(), before, "{options:?}");
    }
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        1,
        "no leftovers"
    );
}

#[test]
fn slips_in_the_file_are_shown_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.csv");
    for (rows, words) in [
        ("resistor,10m,5\n", "10 MΩ"),
        ("resister,10k,5\n", "write resistor"),
        ("resistor,10k,many\n", "how many"),
        ("resistor,10k,\"5\n", "never closed"),
    ] {
        fs::write(&file, format!("kind,value,quantity\n{rows}")).unwrap();
        let output = stock(&file, &[]);
        let message = trouble(&output);
        assert_eq!(output.status.code(), Some(2), "{message}");
        for part in [words, "mine.csv:2", "^", "help:"] {
            assert!(message.contains(part), "no {part:?} in\n{message}");
        }
    }
}

/// One drawer with every fault, and one without.
#[test]
fn every_doubt_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.csv");
    let heading = "kind,value,tolerance,dielectric,quantity,measured\n";
    for (rows, found) in [
        ("capacitor,10m,,film,1,\n", "drawer_value_doubted"),
        (
            "resistor,1k,1 %,,1,\nresistor,1.0k,1 %,,2,\n",
            "drawer_doubles",
        ),
        ("capacitor,10n,,X7R,5,\n", "drawer_dielectric_unfit"),
        ("capacitor,10n,5 %,film,1,10.6n\n", "drawer_measured_off"),
        ("opamp,TL073,,,1,\n", "drawer_opamp_unknown"),
        ("", "drawer_empty"),
        ("resistor,1k,,,0,\n", "drawer_empty"),
    ] {
        fs::write(&file, format!("{heading}{rows}")).unwrap();
        let listed = json(&stock(&file, &["--json"]));
        let findings = listed["findings"].as_array().unwrap();
        let ids: Vec<&str> = findings.iter().filter_map(|f| f["id"].as_str()).collect();
        assert_eq!(ids, [found], "{rows}");
    }
    let sound = "resistor,1k,1 %,,1,\nresistor,1k,5 %,,2,\ncapacitor,10n,5 %,film,1,10.5n\n";
    fs::write(&file, format!("{heading}{sound}")).unwrap();
    assert_eq!(
        json(&stock(&file, &["--json"]))["findings"],
        serde_json::json!([])
    );
}

#[test]
fn a_file_that_is_no_drawer_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let empty = folder.path().join("empty.csv");
    fs::write(&empty, "").unwrap();
    for (path, words) in [
        (empty, "no heading"),
        (folder.path().join("missing.csv"), "no such file"),
        (folder.path().to_path_buf(), "folder"),
    ] {
        let output = stock(&path, &[]);
        assert_eq!(output.status.code(), Some(2));
        assert!(trouble(&output).contains(words), "{}", trouble(&output));
    }
}
