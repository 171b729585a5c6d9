//! Changing a drawer: what is asked for happens, and nothing else does.
//! Order of trust: two routes (a model of the drawer beside its text), invariants.

use parts::{Drawer, DrawerChange, DrawerPart, DrawerSlip, edit_drawer};
use testkit::awkward::Stream;
use testkit::fuzz;

const SHIPPED: &str = include_str!("corpus/drawer.csv");
const SEMICOLONS: &str = include_str!("corpus/drawer_semicolons.csv");

fn slip(change: DrawerChange, text: &str) -> DrawerSlip {
    DrawerSlip::read(change, "slip", text).unwrap_or_else(|c| panic!("{c}"))
}

/// The drawer after one slip, with line `from` replaced by these lines, all others untouched.
#[track_caller]
fn check(text: &str, change: DrawerChange, words: &str, was: &str, becomes: &str) {
    let edited = edit_drawer("d.csv", text, &slip(change, words));
    let edited = edited.unwrap_or_else(|c| panic!("{c}")).text;
    assert_eq!(text.matches(was).count(), 1, "{was:?} once in {text}");
    assert_eq!(edited, text.replacen(was, becomes, 1));
}

#[test]
fn a_row_is_put_in_behind_its_kind() {
    let row = "resistor,\"10 kΩ\",5 %,,100,,\"carbon, old\"\n";
    let add = DrawerChange::Add;
    let with = |fresh: &str| format!("{row}{fresh}\n");
    check(
        SHIPPED,
        add,
        "resistor 22k 1 % x20",
        row,
        &with("resistor,22k,1 %,,20,,"),
    );
    check(
        SHIPPED,
        add,
        "resistor 2,2 kΩ",
        row,
        &with("resistor,\"2,2 kΩ\",,,1,,"),
    );
    let end = "other,1N4148,,,20,,\n";
    let wire = format!("{end}other,toggle switch,,,2,,\"three, \"\"changeover\"\"\"\n");
    check(
        SHIPPED,
        add,
        "other toggle switch x2 note three, \"changeover\" ",
        end,
        &wire,
    );
    let coil = "inductor,88m,,,2,,toroid\n";
    check(
        SHIPPED,
        add,
        "inductor 10m is 10.3m",
        coil,
        &format!("{coil}inductor,10m,,,1,10.3m,\n"),
    );
    let row = "capacitor;0,1 µF;5;";
    check(
        SEMICOLONS,
        add,
        "capacitor 22n x3",
        row,
        &format!("{row}\ncapacitor;22n;3;"),
    );
}

#[test]
fn the_same_parts_are_not_put_into_two_rows() {
    let add = DrawerChange::Add;
    check(SHIPPED, add, "resistor 4.7 kΩ 1% x5", "1 %,,25", "1 %,,30");
    check(
        SHIPPED,
        add,
        "capacitor 100n class 2 20 %",
        "X7R,50",
        "X7R,51",
    );
    // Not measured is not the same as measured.
    let last = "capacitor,0.1 µF,20 %,X7R,50,,\n";
    let fresh = format!("{last}capacitor,10n,5 %,film,1,,\n");
    check(SHIPPED, add, "capacitor 10n 5 % film", last, &fresh);
}

#[test]
fn counting_and_taking() {
    let (count, take) = (DrawerChange::Count, DrawerChange::Take);
    check(SHIPPED, count, "capacitor 100n x7", "X7R,50", "X7R,7");
    check(SHIPPED, take, "capacitor 100n x8", "X7R,50", "X7R,42");
    check(SHIPPED, take, "opamp tl072 x4", "TL072,,,4", "TL072,,,0");
    let piece = "capacitor,10n,5 %,film,1,9.94n,\n";
    check(SHIPPED, take, "capacitor 10n is 9940p", piece, "");
    check(SEMICOLONS, take, "resistor 4k7 x10", "4,7k;10", "4,7k;0");
}

#[test]
fn a_measured_piece_gets_its_own_row() {
    let measured = DrawerChange::Measured;
    let row = "capacitor,0.1 µF,20 %,X7R,50,,\n";
    let both = "capacitor,0.1 µF,20 %,X7R,49,,\ncapacitor,0.1 µF,20 %,X7R,1,98.7n,\n";
    check(SHIPPED, measured, "capacitor 100n is 98.7n", row, both);
    // A note of the heap is not one of the piece, unless it is the last of them.
    let noted = "kind,value,quantity,measured,note\ncapacitor,4n7,2,,\"not yet, all\"\n";
    let piece = format!("{noted}capacitor,4n7,1,4.6n,\n").replace(",2,", ",1,");
    check(noted, measured, "capacitor 4n7 is 4.6n", noted, &piece);
    let said = piece.replace("4.6n,", "4.6n,\"K\"");
    check(
        noted,
        measured,
        "capacitor 4n7 is 4.6n note K",
        noted,
        &said,
    );
    let last = noted.replace(",2,", ",1,");
    let words = slip(measured, "capacitor 4n7 is 4.6n");
    let edited = edit_drawer("d.csv", &last, &words).expect("edited");
    assert_eq!(edited.text, last.replace(",1,,", ",1,4.6n,"));
    assert!(edited.done.ends_with("keeps the note: not yet, all"));
    let one = "kind,value,measured\r\ncapacitor,\"10n\",\r\n";
    check(
        one,
        measured,
        "capacitor 10n is 10.1n",
        "\"10n\",",
        "\"10n\",10.1n",
    );
}

/// The heading gets the column at its end; rows may be shorter than it.
#[test]
fn a_column_that_is_missing_is_added() {
    let text = "Kind;Value;Quantity;Note\r\ncapacitor;10n;5;old\r\ncapacitor;22n;1";
    let slip = slip(DrawerChange::Measured, "capacitor 10n is 10.2n");
    let edited = edit_drawer("d.csv", text, &slip).expect("edited").text;
    let expected = "Kind;Value;Quantity;Note;Measured\r\ncapacitor;10n;4;old\r\n\
        capacitor;10n;1;;10.2n\r\ncapacitor;22n;1";
    assert_eq!(edited, expected);
    let bare = edit_drawer(
        "d.csv",
        "kind,value",
        &self::slip(DrawerChange::Add, "resistor 1k x2"),
    );
    assert_eq!(
        bare.expect("edited").text,
        "kind,value,quantity\nresistor,1k,2"
    );
}

/// A slip that cannot be followed is refused in words.
#[track_caller]
fn refused(change: DrawerChange, words: &str, found: &str, advice: &str) {
    let read = DrawerSlip::read(change, "--slip", words);
    let complaints = match read {
        Err(complaints) => complaints,
        Ok(slip) => edit_drawer("d.csv", SHIPPED, &slip).expect_err(words),
    };
    let complaint = &complaints.list()[0];
    assert!(complaint.found.contains(found), "{complaints}");
    assert!(complaint.advice.contains(advice), "{complaints}");
}

#[test]
fn slips_that_cannot_be_followed() {
    use DrawerChange::{Add, Count, Measured, Take};
    refused(Add, "", "no kind", "fill in");
    refused(Add, "resistor", "no value", "fill in");
    refused(Add, "resistor 10m x2", "(milli)", "10 MΩ");
    refused(Add, "resistor 4k7 x0", "no pieces", "how many");
    refused(Add, "resistor 4k7 x2 x3", "the quantity twice", "take one");
    refused(
        Add,
        "resistor 4k7 film",
        "that has none",
        "leave the cell empty",
    );
    refused(
        Add,
        "capacitor 10n is 9.9p",
        "measured on a part of 10 nF",
        "prefix",
    );
    refused(Count, "resistor 4k7", "no quantity", "x20");
    refused(
        Count,
        "capacitor 10n is 10.12n x1",
        "a count of measured",
        "its own",
    );
    refused(Measured, "capacitor 10n", "no measured value", "is 10.12n");
    refused(Measured, "opamp TL072 is 5", "the measured value", "note");
    refused(
        Take,
        "resistor 3k3",
        "no resistor 3.3 kΩ in the drawer",
        "lists",
    );
    refused(
        Take,
        "capacitor 10n x2",
        "capacitor 10 nF: 2 there, all measured",
        "by its measured value: \"capacitor 10 nF is",
    );
    refused(
        Count,
        "capacitor 10n x2",
        "all measured",
        "a row of its own",
    );
}

#[test]
fn slips_that_deny_what_stands_there() {
    use DrawerChange::Take;
    refused(
        Take,
        "resistor 4k7 no tolerance",
        "no resistor 4.7 kΩ in",
        "lists",
    );
    refused(
        Take,
        "resistor 4k7 1 % no tolerance",
        "a tolerance and the words no tolerance",
        "one of them out",
    );
    refused(
        Take,
        "resistor 4k7 no tolerance whatever",
        "no tolerance whatever",
        "one of them out",
    );
}

#[test]
fn parts_that_do_not_suffice() {
    use DrawerChange::Take;
    refused(
        Take,
        "capacitor 100n x51",
        "51 asked for and 50 there",
        "fewer",
    );
    refused(
        Take,
        "capacitor 10n is 9n",
        "no capacitor 10 nF is 9 nF in the drawer; 2 capacitor 10 nF there",
        "there are 10.12 nF",
    );
}

#[test]
fn a_slip_that_could_mean_two_sorts_is_refused() {
    let text = "kind,value,tolerance,quantity\nresistor,1k,1 %,5\nresistor,1k,5 %,9\n";
    let take = |words: &str| edit_drawer("d.csv", text, &slip(DrawerChange::Take, words));
    let complaints = take("resistor 1k").expect_err("which?");
    let complaint = &complaints.list()[0];
    assert!(
        complaint.found.contains("1 kΩ 1 % in line 2"),
        "{complaints}"
    );
    assert!(
        complaint.found.contains("1 kΩ 5 % in line 3"),
        "{complaints}"
    );
    assert!(take("resistor 1k 5 %").is_ok());
}

/// A row that leaves a cell empty where another fills it can be named.
#[test]
fn a_row_that_states_none_is_named_by_that() {
    let text = "kind,value,tolerance,dielectric,quantity\nresistor,4k7,1 %,,16\n\
        resistor,4k7,,,20\ncapacitor,10n,5 %,film,3\ncapacitor,10n,5 %,,8\n";
    let (count, take) = (DrawerChange::Count, DrawerChange::Take);
    let ask = |words: &str| edit_drawer("d.csv", text, &slip(take, words));
    let complaints = ask("resistor 4k7").expect_err("which?");
    let advice = &complaints.list()[0].advice;
    assert_eq!(
        advice,
        "say \"resistor 4.7 kΩ 1 %\" or \"resistor 4.7 kΩ no tolerance\""
    );
    let plain = "resistor 4k7 No tolerance x5";
    check(text, take, plain, "4k7,,,20", "4k7,,,15");
    check(text, count, plain, "4k7,,,20", "4k7,,,5");
    check(text, take, "resistor 4k7 1 % x5", "%,,16", "%,,11");
    let none = "capacitor 10n no dielectric x2";
    check(text, take, none, "5 %,,8", "5 %,,6");
    assert!(
        ask("capacitor 10n 5 %").expect_err("which?").list()[0]
            .advice
            .contains("10 nF 5 % no dielectric")
    );
}

/// What differs from a row only by what it leaves out is asked back, with both ways.
#[test]
fn what_is_half_said_is_not_put_in() {
    let add = DrawerChange::Add;
    let text = "kind,value,tolerance,quantity\nresistor,4k7,1 %,16\n";
    let half = edit_drawer("d.csv", text, &slip(add, "resistor 4k7 x20"));
    let complaints = half.expect_err("which?");
    let complaint = &complaints.list()[0];
    assert!(complaint.found.contains("4.7 kΩ 1 % in line 2"));
    for way in ["resistor 4.7 kΩ 1 %", "resistor 4.7 kΩ no tolerance"] {
        assert!(
            complaint.advice.contains(&format!("\"{way}\"")),
            "{complaints}"
        );
        assert!(edit_drawer("d.csv", text, &slip(add, &format!("{way} x20"))).is_ok());
    }
    let apart = format!("{text}resistor,4k7,,20\n");
    check(text, add, "resistor 4k7 no tolerance x20", text, &apart);
    // A row that states none is itself what a slip that says none means.
    check(&apart, add, "resistor 4k7 x5", "4k7,,20", "4k7,,25");
    check(
        text,
        add,
        "resistor 4k7 5 %",
        text,
        &format!("{text}resistor,4k7,5 %,1\n"),
    );
}

#[test]
fn equal_rows_are_counted_together() {
    let text = "kind,value,quantity,note\nresistor,4k7,10,kit\nresistor,4.7k,5,from the club\n";
    let count = slip(DrawerChange::Count, "resistor 4k7 x18");
    let edited = edit_drawer("d.csv", text, &count).expect("edited");
    assert_eq!(
        edited.text,
        text.replace(",10,", ",18,").replace(",5,", ",0,")
    );
    assert!(edited.done.contains("15 in 2 rows → 18"), "{}", edited.done);
}

/// A row of the model: what the text should say.
type Modelled = (String, usize);

fn modelled(parts: &[DrawerPart]) -> Vec<Modelled> {
    parts.iter().map(|p| (p.to_string(), p.quantity)).collect()
}

/// What a slip does to the drawer, worked out without its text; `None` where it is refused.
fn expected(
    rows: &[Modelled],
    change: DrawerChange,
    spec: &str,
    piece: Option<&str>,
    n: usize,
) -> Option<Vec<Modelled>> {
    let mut rows = rows.to_vec();
    let full = piece.map(|p| format!("{spec} is {p}"));
    let heap = rows.iter().position(|(s, _)| s == spec);
    match change {
        DrawerChange::Add => match (heap, full) {
            (Some(row), None) => rows[row].1 += n,
            (_, full) => {
                let kind = spec.split(' ').next()?;
                let last = rows.iter().rposition(|(s, _)| s.starts_with(kind));
                let at = last.map_or(rows.len(), |last| last + 1);
                rows.insert(at, (full.unwrap_or(spec.to_owned()), n));
            }
        },
        DrawerChange::Count => rows[heap?].1 = n,
        DrawerChange::Take => match full {
            Some(full) => drop(rows.remove(rows.iter().position(|(s, _)| *s == full)?)),
            None => rows[heap?].1 = rows[heap?].1.checked_sub(n)?,
        },
        DrawerChange::Measured => match rows[heap?].1 {
            0 => return None,
            1 => rows[heap?].0 = full?,
            _ => {
                rows[heap?].1 -= 1;
                rows.insert(heap? + 1, (full?, 1));
            }
        },
    }
    Some(rows)
}

const SPECS: [(&str, &[&str]); 5] = [
    ("resistor 4.7 kΩ 1 %", &["4.702 kΩ", "4.68 kΩ"]),
    ("resistor 10 kΩ", &[]),
    (
        "capacitor 10 nF 5 % film",
        &["10.12 nF", "9.94 nF", "10.3 nF"],
    ),
    ("capacitor 100 nF X7R", &["98.7 nF"]),
    ("opamp TL072", &[]),
];

/// Two routes: after any slip the text reads as the model says; lines that the slip does not
/// concern are there byte for byte. Own scenario, separators and line ends at random.
#[test]
fn what_is_read_after_a_slip_is_what_was_asked_for() {
    let mut stream = Stream::new(0x57_0c);
    for _ in 0..300 {
        let separator = stream.pick(&[",", ";", "\t"]);
        let end = stream.pick(&["\n", "\r\n"]);
        let full = stream.chance(0.7);
        let heading = match full {
            true => "kind,value,tolerance,dielectric,quantity,measured,note",
            false => "kind,value,tolerance,dielectric,quantity",
        };
        let mut text = format!(
            "# mine, \"all\" of it{end}{}{end}",
            heading.replace(',', separator)
        );
        if stream.chance(0.3) {
            text = text.trim_end().to_owned();
        }
        for _ in 0..14 {
            if stream.chance(0.2) && text.ends_with(end) {
                text += &format!("# a comment; with, signs{end}{end}");
            }
            let (spec, pieces) = stream.pick(&SPECS);
            let change = stream.pick(&[
                DrawerChange::Add,
                DrawerChange::Add,
                DrawerChange::Measured,
                DrawerChange::Count,
                DrawerChange::Take,
            ]);
            let measures = change == DrawerChange::Measured;
            let countable = change != DrawerChange::Count && stream.chance(0.4);
            let piece =
                (!pieces.is_empty() && (measures || countable)).then(|| stream.pick(pieces));
            if measures && piece.is_none() {
                continue;
            }
            let n = if piece.is_some() {
                1
            } else {
                1 + stream.below(4)
            };
            let is = piece.map_or(format!(" x{n}"), |p| format!(" is {p}"));
            let asked = slip(change, &format!("{spec}{is}"));
            let before = Drawer::read("d.csv", &text).expect(&text);
            let model = expected(&modelled(&before.parts), change, spec, piece, n);
            let edited = edit_drawer("d.csv", &text, &asked);
            assert_eq!(
                edited.is_ok(),
                model.is_some(),
                "{change:?} {spec}{is} on {text:?}"
            );
            let (Ok(edited), Some(model)) = (edited, model) else {
                continue;
            };
            let after = Drawer::read("d.csv", &edited.text).unwrap_or_else(|c| panic!("{c}"));
            assert_eq!(
                modelled(&after.parts),
                model,
                "{change:?} {spec}{is} on {text:?}"
            );
            untouched(&text, &edited.text, end);
            text = edited.text;
        }
    }
}

/// Lines in which both texts differ: at most the heading, and at one place one line for two.
#[track_caller]
fn untouched(before: &str, after: &str, end: &str) {
    let (mut old, mut new): (Vec<&str>, Vec<&str>) =
        (before.split(end).collect(), after.split(end).collect());
    // The heading stands in the second line; a column may have been added to it.
    if old[1] != new[1] {
        assert!(new[1].starts_with(old[1]), "{before:?} {after:?}");
        (old[1], new[1]) = ("", "");
    }
    while old.first().is_some_and(|line| new.first() == Some(line)) {
        (old, new) = (old[1..].to_vec(), new[1..].to_vec());
    }
    while old.last().is_some_and(|line| new.last() == Some(line)) {
        old.pop();
        new.pop();
    }
    assert!(old.len() <= 1 && new.len() <= 2, "{before:?} {after:?}");
}

/// No drawer and no slip makes the editor panic, and what it writes can be read.
#[test]
fn fuzz_edits() {
    let corpus = [
        SHIPPED,
        SEMICOLONS,
        "kind,value\nresistor,10k\n",
        "\u{feff}kind;value\r\nresistor;10k",
        "kind,value,note\n\"resistor\",10k,\"a\nb\"\n",
    ];
    let slips = [
        (DrawerChange::Add, "resistor 10k 1 % x3 note a \"b\", c; d"),
        (DrawerChange::Add, "capacitor 10n film is 10.1n"),
        (DrawerChange::Measured, "resistor 10k is 10.1k"),
        (DrawerChange::Count, "resistor 10k x2"),
        (DrawerChange::Take, "resistor 10k"),
    ]
    .map(|(change, words)| slip(change, words));
    fuzz(0xed17, 6_000, &corpus, |text| {
        for slip in &slips {
            if let Ok(edited) = edit_drawer("f.csv", text, slip) {
                let read = Drawer::read("f.csv", &edited.text);
                assert!(read.is_ok(), "{text:?} became {:?}", edited.text);
            }
        }
    });
}

/// No slip makes the reader panic; what it complains of it can point at.
#[test]
fn fuzz_slips() {
    let corpus = [
        "resistor 4.7 kΩ ± 5 % x20 note old ones",
        "capacitor 10n class 2 ceramic is 10.12n",
        "other toggle switch ×2",
        "x7 is note % is x",
    ];
    fuzz(0x51ee, 3_000, &corpus, |text| {
        for change in [DrawerChange::Add, DrawerChange::Count] {
            if let Err(complaints) = DrawerSlip::read(change, "--add", text) {
                assert!(!complaints.is_empty());
                let inside = |c: &document::Complaint| text.get(c.span.clone()).is_some();
                assert!(complaints.list().iter().all(inside), "{text:?}");
            }
        }
    });
}
