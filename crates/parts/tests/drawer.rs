//! The drawer file: what is read, and where complaints point.

use parts::{Dielectric, Drawer, DrawerItem};
use units::{Farads, Henries, Ohms, Ratio};

const HEAD: &str = "kind,value,tolerance,dielectric,quantity,measured,note\n";

fn given(text: &str) -> Drawer {
    Drawer::read("d.csv", text).unwrap_or_else(|c| panic!("{c}"))
}

#[test]
fn every_kind_is_read() {
    let drawer = given(include_str!("corpus/drawer.csv"));
    assert_eq!(drawer.parts.len(), 9);
    let first = &drawer.parts[0];
    let resistor = DrawerItem::Resistor {
        value: Ohms(4700.0),
        measured: None,
    };
    assert_eq!(first.item, resistor);
    assert_eq!(
        (first.tolerance, first.quantity, first.line),
        (Some(Ratio(0.01)), 25, 3)
    );
    assert_eq!(drawer.parts[1].note, "carbon, old");
    let measured = &drawer.parts[2];
    assert_eq!(
        measured.item,
        DrawerItem::Capacitor {
            value: Farads(10e-9),
            dielectric: Dielectric::Film,
            measured: Some(Farads(10.12e-9)),
        }
    );
    assert_eq!(
        (measured.quantity, measured.note.as_str()),
        (1, "marked \"A\"")
    );
    assert_eq!(drawer.parts[4].line, 8);
    let coil = DrawerItem::Inductor {
        value: Henries(88e-3),
        measured: None,
    };
    assert_eq!(drawer.parts[5].item, coil);
    assert!(matches!(&drawer.parts[6].item, DrawerItem::Opamp { model } if model.name == "TL072"));
    assert_eq!(drawer.parts[7].item, DrawerItem::Pot { value: Ohms(10e3) });
    assert_eq!(
        drawer.parts[8].item,
        DrawerItem::Other {
            name: "1N4148".to_owned()
        }
    );
}

#[test]
fn other_separators_orders_and_line_ends() {
    let drawer = given(include_str!("corpus/drawer_semicolons.csv"));
    assert_eq!(
        drawer.parts[0].item,
        DrawerItem::Resistor {
            value: Ohms(4700.0),
            measured: None
        }
    );
    assert_eq!(drawer.parts[1].quantity, 5);
    let plain = given("kind,value\nresistor,10k\n");
    for text in [
        "value\tkind\n10k\tresistor\n",
        "\u{feff}kind,value\r\nresistor,10k\r\n",
        "kind,value\rresistor,10k\r",
        "kind,value\n\n# c\nresistor,10k",
        " KIND , Value \n resistor , 10k \n,\n",
    ] {
        let drawer = given(text);
        assert_eq!(drawer.parts[0].item, plain.parts[0].item, "{text:?}");
        assert_eq!(drawer.parts.len(), 1, "{text:?}");
    }
    assert_eq!(given("kind,value\n").parts, []);
}

/// One complaint, at these bytes, with these words.
#[track_caller]
fn check(rows: &str, at: &str, found: &str, advice: &str) {
    let text = format!("{HEAD}{rows}");
    let complaints = Drawer::read("d.csv", &text).expect_err(rows);
    assert_eq!(complaints.list().len(), 1, "{complaints}");
    let complaint = &complaints.list()[0];
    assert_eq!(&text[complaint.span.clone()], at, "{complaints}");
    assert!(complaint.found.contains(found), "{complaints}");
    assert!(complaint.advice.contains(advice), "{complaints}");
}

#[test]
fn complaints_about_values_point_into_the_cell() {
    check("resistor,10m,,,,,\n", "m", "(milli)", "10 MΩ");
    check("resistor,\"4,7 mΩ\",,,,,\n", "m", "(milli)", "MΩ");
    check(
        "# c\n\nresistor,4k7,-5 %,,,,\n",
        "-",
        "minus sign",
        "without",
    );
    check(
        "resistor,4k7,500 %,,,,\n",
        "500 %",
        "tolerance of 500 %",
        "5 %",
    );
    check("resistor,0,,,,,\n", "0", "0 Ω", "like 4k7");
    check(
        "capacitor,104,,,,,\n",
        "104",
        "bare number",
        "marked 104 is 100 nF",
    );
    check(
        "capacitor,\"1\"\"0n\",,,,,\n",
        "\"1\"\"0n\"",
        "after the number",
        "like 100n",
    );
}

#[test]
fn complaints_about_the_rest_point_at_the_cell() {
    check(
        "resister,4k7,,,,,\n",
        "resister",
        "the kind \"resister\"",
        "write resistor",
    );
    check(",4k7,,,,,\n", ",4k7,,,,,", "no kind", "fill in the kind");
    check(
        "resistor,,,,,,\n",
        "resistor,,,,,,",
        "no value",
        "fill in the value",
    );
    check(
        "resistor,4k7,,film,,,\n",
        "film",
        "that has none",
        "leave the cell empty",
    );
    check(
        "capacitor,10n,,filn,,,\n",
        "filn",
        "dielectric \"filn\"",
        "write \"film\"",
    );
    check(
        "capacitor,10n,,,some,,\n",
        "some",
        "quantity \"some\"",
        "how many",
    );
    check(
        "capacitor,10n,,,-1,,\n",
        "-1",
        "quantity \"-1\"",
        "how many",
    );
    check(
        "capacitor,10n,,,5,9.9n,\n",
        "5",
        "5 parts with one measured",
        "a row of its own",
    );
    check(
        "capacitor,10n,,,1,9.9p,\n",
        "9.9p",
        "measured on a part of 10 nF",
        "check the prefix",
    );
    check("opamp,TL072,,,1,5,\n", "5", "the measured value", "note");
    check(
        "resistor,4k7,,,,,\"a\nresistor,1k,,,,,\n",
        "\"",
        "never closed",
        "written twice",
    );
    check(
        "resistor,4k7,,,,,a,b\n",
        "b",
        "8 cells under 7 columns",
        "double quotes",
    );
}

/// A drawer may hold op-amps of which we know nothing.
#[test]
fn op_amps_without_data_are_kept_by_name() {
    let drawer = given(&format!("{HEAD}opamp,TL073,,,3,,\n"));
    let name = "TL073".to_owned();
    assert_eq!(drawer.parts[0].item, DrawerItem::UnknownOpamp { name });
}

/// Invariant: a file in which everything is wrong is not complained of without end.
#[test]
fn complaints_end() {
    let text = format!("{HEAD}{}", "resistor,10m,,,,,\n".repeat(1000));
    let complaints = Drawer::read("d.csv", &text).expect_err("all wrong");
    assert_eq!(complaints.list().len(), 51);
    assert!(complaints.list()[50].advice.contains("was not read"));
}

#[test]
fn headings_are_held() {
    for (text, at, found) in [
        ("", "", "no heading"),
        ("# only this\n", "", "no heading"),
        ("kind,valeu\n", "valeu", "the column \"valeu\""),
        ("kind,value,value\n", "value", "the column value twice"),
        ("kind,note\n", "kind,note", "without the column value"),
        ("4k7,10\n", "4k7", "the column \"4k7\""),
    ] {
        let complaints = Drawer::read("d.csv", text).expect_err(text);
        let complaint = &complaints.list()[0];
        assert_eq!(&text[complaint.span.clone()], at, "{complaints}");
        assert!(complaint.found.contains(found), "{complaints}");
    }
}

#[test]
fn all_rows_are_complained_of_at_once() {
    let text = format!("{HEAD}resistor,10m,,,,,\nresistor,4k7,,,,,\ncapacitor,5,,,,,\n");
    let complaints = Drawer::read("d.csv", &text).expect_err("two slips");
    let lines: Vec<usize> = complaints
        .list()
        .iter()
        .map(|c| complaints.line_column(c.span.start).0)
        .collect();
    assert_eq!(lines, [2, 4]);
}

/// Invariant: a row stands where it stands, however long the file (and the time taken to
/// read it grows with its length, not with the square of it).
#[test]
fn long_files_are_read_in_one_walk() {
    let rows = "resistor,4k7,1 %,,25,,\n# c\n\n".repeat(30_000);
    let drawer = given(&format!("{HEAD}{rows}"));
    assert_eq!(drawer.parts.len(), 30_000);
    let at_its_line = |(index, part): (usize, &parts::DrawerPart)| part.line == 2 + 3 * index;
    assert!(drawer.parts.iter().enumerate().all(at_its_line));
}
