//! The parts list with bands and codes.

use parts::marking::Colour;

use super::html::Html;
use super::write::{heading, section, tick};
use super::{BuildSheet, PartLine, parts_list};

/// What every kind of capacitor is called in the list, and none in its own table.
const CAPACITOR: &str = " capacitor";

/// The parts list.
pub(crate) fn parts(h: &mut Html, sheet: &BuildSheet) {
    let lines = parts_list(&sheet.circuit);
    section(h, ("parts", ""), "Parts", |h| {
        h.words(
            "p",
            "soft",
            "Bands are named by two letters: BK black, BN brown, RD red, OG orange, YE yellow, \
             GN green, BU blue, VT violet, GY grey, WH white, GD gold, SR silver. Measure every \
             resistor before it goes in: the commonest mistake is a band read one decade off.",
        );
        let (resistors, others): (Vec<&PartLine>, Vec<&PartLine>) =
            lines.iter().partition(|l| !l.bands.is_empty());
        let (capacitors, rest): (Vec<&PartLine>, Vec<&PartLine>) =
            others.iter().partition(|l| l.what.contains(CAPACITOR));
        h.tag("div", &[("class", "two")], |h| {
            h.tag("div", &[], |h| banded(h, sheet, &resistors));
            h.tag("div", &[], |h| marked(h, sheet, "Capacitors", &capacitors));
        });
        marked(h, sheet, "The rest", &rest);
        extras(h, sheet);
    });
}

/// The resistors; a tolerance that all share stands in the caption.
fn banded(h: &mut Html, sheet: &BuildSheet, lines: &[&PartLine]) {
    if lines.is_empty() {
        return;
    }
    let shared = lines
        .iter()
        .all(|l| l.tolerance == lines[0].tolerance)
        .then(|| lines[0].tolerance.as_str())
        .filter(|t| !t.is_empty());
    let title = shared.map_or("Resistors".to_owned(), |t| format!("Resistors, all {t}"));
    h.tag("table", &[("class", "tight")], |h| {
        h.words("caption", "", &title);
        let columns = [("n", "Value"), ("", "Bands"), ("free", "Goes to")];
        heading(h, &columns);
        h.tag("tbody", &[], |h| {
            for line in lines {
                h.tag("tr", &[], |h| {
                    h.tag("td", &[("class", "n v")], |h| {
                        counted(h, line);
                        if shared.is_none() && !line.tolerance.is_empty() {
                            h.words("span", "soft", &format!(", {}", line.tolerance));
                        }
                    });
                    h.tag("td", &[], |h| marking(h, line));
                    h.tag("td", &[("class", "whole free")], |h| {
                        places(h, line);
                        notes(h, sheet, line);
                    });
                });
            }
        });
    });
}

/// Parts without bands, under a caption; a column of codes where any has one.
fn marked(h: &mut Html, sheet: &BuildSheet, title: &str, lines: &[&PartLine]) {
    if lines.is_empty() {
        return;
    }
    let coded = lines.iter().any(|l| !l.code.is_empty());
    h.tag("table", &[("class", "stack tight")], |h| {
        h.words("caption", "", title);
        let mut columns = vec![("n", "Value"), ("", "Kind"), ("free", "Goes to")];
        if coded {
            columns.insert(2, ("", "Code"));
        }
        heading(h, &columns);
        h.tag("tbody", &[], |h| {
            for line in lines {
                h.tag("tr", &[], |h| {
                    h.tag("td", &[("class", "n v")], |h| counted(h, line));
                    h.tag("td", &[("class", "what")], |h| kind(h, sheet, line));
                    if coded {
                        h.tag("td", &[], |h| marking(h, line));
                    }
                    h.tag("td", &[("class", "whole free")], |h| places(h, line));
                });
            }
        });
    });
}

/// What kind it is, with its tolerance and hints.
fn kind(h: &mut Html, sheet: &BuildSheet, line: &PartLine) {
    h.text(&line.what.replace(CAPACITOR, ""));
    if !line.tolerance.is_empty() {
        let within = line.tolerance.replace(' ', "\u{a0}");
        h.words("span", "soft", &format!(", {within}"));
    }
    notes(h, sheet, line);
}

/// How many of them, and the value.
fn counted(h: &mut Html, line: &PartLine) {
    h.words("span", "soft", &format!("{} × ", line.quantity));
    h.text(&line.value);
}

/// Where the parts of a line go, each with a box to tick.
fn places(h: &mut Html, line: &PartLine) {
    for reference in &line.references {
        h.tag("span", &[("class", "parts-row")], |h| {
            tick(h, &format!("{reference} collected"));
            h.text(reference);
        });
    }
}

/// The hints for the parts of a line; parts with the same hint share it.
fn notes(h: &mut Html, sheet: &BuildSheet, line: &PartLine) {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    let own = |r: &&(String, String)| line.references.contains(&r.0);
    for (reference, note) in sheet.part_notes.iter().filter(own) {
        match said.iter_mut().find(|(words, _)| words == note) {
            Some((_, references)) => references.push(reference),
            None => said.push((note, vec![reference])),
        }
    }
    for (note, references) in said {
        let whom = if references.len() == line.references.len() {
            String::new()
        } else {
            format!("{}: ", references.join(", "))
        };
        h.words("div", "definition", &format!("{whom}{note}"));
    }
}

fn marking(h: &mut Html, line: &PartLine) {
    if !line.bands.is_empty() {
        let names: Vec<&str> = line.bands.iter().map(|b| b.name()).collect();
        let label = names.join(", ");
        let outer = [("class", "bands"), ("role", "img"), ("aria-label", &label)];
        h.tag("span", &outer, |h| {
            for &band in &line.bands {
                let (class, letters) = letters(band);
                h.words("span", class, letters);
            }
        });
    } else if !line.code.is_empty() {
        h.words("span", "code", &line.code);
    }
}

/// Class of a band and its two letters, which are those of [IEC-60757] (from memory).
fn letters(colour: Colour) -> (&'static str, &'static str) {
    match colour {
        Colour::Black => ("band bk", "BK"),
        Colour::Brown => ("band bn", "BN"),
        Colour::Red => ("band rd", "RD"),
        Colour::Orange => ("band og", "OG"),
        Colour::Yellow => ("band ye", "YE"),
        Colour::Green => ("band gn", "GN"),
        Colour::Blue => ("band bu", "BU"),
        Colour::Violet => ("band vt", "VT"),
        Colour::Grey => ("band gy", "GY"),
        Colour::White => ("band wh", "WH"),
        Colour::Gold => ("band gd", "GD"),
        Colour::Silver => ("band sr", "SR"),
        Colour::Pink => ("band pk", "PK"),
    }
}

fn extras(h: &mut Html, sheet: &BuildSheet) {
    if sheet.extras.is_empty() {
        return;
    }
    h.words("h3", "", "Off the board");
    h.tag("ul", &[("class", "extras")], |h| {
        for extra in &sheet.extras {
            h.tag("li", &[], |h| {
                tick(h, &format!("{} collected", extra.what));
                if !extra.references.is_empty() {
                    h.words("strong", "", &format!("{}: ", extra.references.join(", ")));
                }
                h.text(&format!("{} × {}", extra.quantity, extra.what));
                if !extra.note.is_empty() {
                    h.words("span", "definition", &format!(", {}", extra.note));
                }
            });
        }
    });
}
