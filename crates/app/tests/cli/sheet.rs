//! `narrows sheet`. Order of trust: the contract of the files it writes.

use crate::run::{OLD_BOX, narrows, text};
use std::fs;

#[test]
fn the_sheet_is_one_page_with_nothing_from_outside() {
    let page = text(&narrows(&["sheet", OLD_BOX]));
    assert!(page.starts_with("<!doctype html>") || page.starts_with("<!DOCTYPE html>"));
    for outside in [
        "<script",
        "src=\"http",
        "href=\"http",
        "@import",
        "url(http",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
    for reference in ["R1", "C3", "U1A", "390", "LM358"] {
        assert!(page.contains(reference), "{reference}");
    }
}

#[test]
fn the_folder_holds_page_parts_and_schematic() {
    let folder = tempfile::tempdir().unwrap();
    let output = narrows(&[
        "sheet".as_ref(),
        OLD_BOX.as_ref(),
        "--out".as_ref(),
        folder.path().as_os_str(),
    ]);
    assert!(output.status.success());
    let parts = fs::read_to_string(folder.path().join("parts.csv")).unwrap();
    assert!(
        parts.lines().count() > 5 && parts.contains("820"),
        "{parts}"
    );
    assert!(
        fs::read_to_string(folder.path().join("schematic.svg"))
            .unwrap()
            .contains("<svg")
    );
    assert!(folder.path().join("sheet.html").exists());
}

#[test]
fn the_symbols_follow_the_standard_chosen() {
    let iec = text(&narrows(&["sheet", OLD_BOX, "--symbols", "iec"]));
    let ieee = text(&narrows(&["sheet", OLD_BOX, "--symbols", "ieee"]));
    assert_ne!(iec, ieee);
}
