//! Each fault from a file that has it, with the words and the place; none from sound files.

use circuit::validate::{Fault, Severity, faults};
use circuit::{ReadCircuit, read_in_place};

use crate::CIRCUITS;

fn placed(name: &str, text: &str) -> ReadCircuit {
    read_in_place(name, text).unwrap_or_else(|complaints| panic!("{complaints}"))
}

/// The sound file all slips are made in: one stage on a divider.
fn sound() -> &'static str {
    let (name, text) = CIRCUITS[2];
    assert_eq!(name, "mfb_one_stage.toml");
    text
}

/// The hand-written circuits are what somebody meant.
#[test]
fn sound_circuits_have_no_faults() {
    for (name, text) in CIRCUITS {
        let found = faults(&placed(name, text).circuit);
        assert!(found.is_empty(), "{name}: {found:#?}");
    }
}

/// Makes one slip and finds its fault: severity, words of the sentence, text under the caret.
fn check(from: &str, to: &str, id: &str, severity: Severity, words: &[&str], caret: &str) {
    assert!(sound().contains(from), "{from:?} is not in the sound file");
    check_file(&sound().replacen(from, to, 1), id, severity, words, caret);
}

fn check_file(text: &str, id: &str, severity: Severity, words: &[&str], caret: &str) {
    let read = placed("c.toml", text);
    let found = faults(&read.circuit);
    let of_the_kind: Vec<&Fault> = found.iter().filter(|f| f.id == id).collect();
    let [fault, ..] = of_the_kind.as_slice() else {
        panic!("no {id} among {found:#?}");
    };
    assert_eq!(fault.severity, severity, "{fault:#?}");
    let complaint = fault.complaint(&read.places);
    let sentence = complaint.sentence();
    for word in words {
        assert!(sentence.contains(word), "{word:?} is not in {sentence:?}");
    }
    assert_eq!(&text[complaint.span], caret, "{sentence}");
    assert!(!fault.why.is_empty());
}

use Severity::{Doubt, Problem};

#[test]
fn a_dangling_end_is_named_with_its_node() {
    let words = ["R13 hangs on node m11 alone", "write \"m1\"", "two ends"];
    check(
        "between = [\"m1\", \"y\"]",
        "between = [\"m11\", \"y\"]",
        "dangling",
        Doubt,
        &words,
        "\"m11\"",
    );
}

#[test]
fn a_node_without_direct_current_is_named() {
    // Without its feedback resistor the inverting input has only a capacitor.
    let text = sound().replace("between = [\"m1\", \"y\"]", "between = [\"a\", \"y\"]");
    check_file(
        &text,
        "no-dc-path",
        Problem,
        &["an input of U1A at node m1"],
        "\"m1\"",
    );
    // A node between two capacitors is mere doubt.
    let text = sound().replacen("[\"in\", \"a\"]", "[\"in\", \"w\"]", 1)
        + "[[part]]\nref = \"C99\"\nkind = \"capacitor\"\nvalue = \"1u\"\nbetween = [\"w\", \"a\"]\n";
    check_file(
        &text,
        "no-dc-path",
        Doubt,
        &["node w without a path"],
        "\"w\"",
    );
}

#[test]
fn a_shorted_source_is_named() {
    check(
        "input = \"in\"",
        "input = \"0\"",
        "shorted-port",
        Problem,
        &["the input at 0 V itself"],
        "\"0\"",
    );
    check(
        "input = \"in\"",
        "input = \"vcc\"",
        "shorted-port",
        Problem,
        &["the input at vcc itself"],
        "\"vcc\"",
    );
    check(
        "output = \"out\"",
        "output = \"0\"",
        "shorted-port",
        Problem,
        &["the output at 0 V"],
        "\"0\"",
    );
    let closed = "[[part]]\nref = \"S1\"\nkind = \"switch\"\ncommon = \"in\"\nways = [\"0\", \"z\"]\nposition = 1\n";
    let text = format!("{}{closed}", sound());
    check_file(
        &text,
        "shorted-port",
        Problem,
        &["the input in joined to 0 V by wire"],
        "\"in\"",
    );
}

#[test]
fn a_shorted_supply_is_named() {
    let text = sound().to_owned()
        + "[[part]]\nref = \"R99\"\nkind = \"resistor\"\nvalue = \"0\"\nbetween = [\"vcc\", \"0\"]\n";
    check_file(
        &text,
        "shorted-supply",
        Problem,
        &["vcc joined to 0 V"],
        "\"R99\"",
    );
}

#[test]
fn two_parts_of_one_name_are_named() {
    let words = ["R11 a second time", "such as R"];
    check(
        "ref = \"R12\"",
        "ref = \"R11\"",
        "same-reference",
        Problem,
        &words,
        "\"R11\"",
    );
}

#[test]
fn an_amplifier_without_supply_is_named() {
    let line = "supply = { voltage = \"9 V\", lowest = \"7 V\", capacity = \"500 mAh\" }\n";
    check(
        line,
        "",
        "no-supply",
        Problem,
        &["U1A, a real amplifier", "supply = "],
        "\"U1A\"",
    );
    let reversed = "kind = \"opamp\"\npower = [\"0\", \"vcc\"]";
    check(
        "kind = \"opamp\"",
        reversed,
        "no-supply",
        Problem,
        &["the wrong way round"],
        "\"0\"",
    );
    let unfed = "kind = \"opamp\"\npower = [\"v+\", \"0\"]";
    check(
        "kind = \"opamp\"",
        unfed,
        "no-supply",
        Problem,
        &["U1A fed from node v+"],
        "\"v+\"",
    );
}

#[test]
fn zero_and_absurd_values_are_named() {
    check(
        "value = \"2k4\"",
        "value = \"0\"",
        "bad-value",
        Doubt,
        &["R12 with a value of 0 Ω"],
        "\"0\"",
    );
    check(
        "value = \"10n\"",
        "value = \"0 nF\"",
        "bad-value",
        Problem,
        &["C11 with a value of 0 F"],
        "\"0 nF\"",
    );
    check(
        "value = \"10n\"",
        "value = \"900 mF\"",
        "bad-value",
        Doubt,
        &["C11", "900 mF"],
        "\"900 mF\"",
    );
    check(
        "value = \"2k4\"",
        "value = \"2T4\"",
        "bad-value",
        Doubt,
        &["R12", "2.4 TΩ", "1 GΩ"],
        "\"2T4\"",
    );
}

#[test]
fn both_ends_on_one_node_are_named() {
    check(
        "[\"x1\", \"m1\"]",
        "[\"x1\", \"x1\"]",
        "both-ends",
        Doubt,
        &["both ends of C12 on node x1"],
        "\"x1\"",
    );
    check(
        "minus = \"m1\"",
        "minus = \"mid\"",
        "both-ends",
        Problem,
        &["both inputs of U1A on node mid"],
        "\"mid\"",
    );
}

#[test]
fn an_output_nothing_drives_is_named() {
    let words = ["output at node otu", "write output = \"out\""];
    check(
        "output = \"out\"",
        "output = \"otu\"",
        "undriven-output",
        Problem,
        &words,
        "\"otu\"",
    );
    let words = ["no way for the signal from in to out"];
    check(
        "between = [\"in\", \"a\"]",
        "between = [\"in\", \"0\"]",
        "undriven-output",
        Problem,
        &words,
        "\"out\"",
    );
}

#[test]
fn tied_outputs_are_named() {
    let text = CIRCUITS[3].1.replace("out = \"y\"", "out = \"b\"");
    let words = ["the outputs of U1A and U1B tied together"];
    check_file(&text, "outputs-tied", Problem, &words, "\"b\"");
    check(
        "out = \"y\"",
        "out = \"0\"",
        "outputs-tied",
        Problem,
        &["the output of U1A at 0"],
        "\"0\"",
    );
}

#[test]
fn a_missing_feedback_is_named() {
    let text = sound()
        .replace("between = [\"m1\", \"y\"]", "between = [\"m1\", \"mid\"]")
        .replace("between = [\"x1\", \"y\"]", "between = [\"x1\", \"mid\"]");
    check_file(
        &text,
        "no-feedback",
        Doubt,
        &["U1A without feedback"],
        "\"m1\"",
    );
    let ideal = text.replace("TL072", "ideal");
    check_file(
        &ideal,
        "no-feedback",
        Problem,
        &["U1A without feedback"],
        "\"m1\"",
    );
}

#[test]
fn a_ring_of_wires_is_named() {
    let wire = |n: usize| {
        format!(
            "[[part]]\nref = \"W{n}\"\nkind = \"resistor\"\nvalue = \"0\"\nbetween = [\"a\", \"q\"]\n"
        )
    };
    let text = format!("{}{}{}", sound(), wire(1), wire(2));
    check_file(
        &text,
        "loop-of-shorts",
        Doubt,
        &["W2 closes a ring"],
        "\"W2\"",
    );
}

#[test]
fn packages_are_counted() {
    check(
        "ref = \"U1A\"",
        "ref = \"U1C\"",
        "package",
        Doubt,
        &["U1C, amplifier 3 of a TL072, which holds 2", "A to B"],
        "\"U1C\"",
    );
    let text = CIRCUITS[3]
        .1
        .replacen("type = \"TL072\"", "type = \"LM358\"", 1);
    check_file(
        &text,
        "package",
        Doubt,
        &["U1A (LM358) and U1B (TL072) in one package"],
        "\"U1B\"",
    );
}

#[test]
fn a_ground_by_another_name_is_named() {
    let text = sound().replace("[\"mid\", \"0\"]", "[\"mid\", \"GND\"]");
    check_file(
        &text,
        "ground-name",
        Doubt,
        &["a node called GND", "write \"0\""],
        "\"GND\"",
    );
}

/// Problems come first, so that the first line a user reads is the gravest.
#[test]
fn problems_come_before_doubts() {
    let text = sound()
        .replace("value = \"2k4\"", "value = \"0\"")
        .replacen("ref = \"R13\"", "ref = \"R11\"", 1);
    let found = faults(&placed("c.toml", &text).circuit);
    let severities: Vec<Severity> = found.iter().map(|f| f.severity).collect();
    assert!(
        severities.is_sorted() && severities.len() >= 2,
        "{found:#?}"
    );
}

#[test]
fn a_thousandfold_slip_is_suspected() {
    let words = ["C12 with 10 pF", "write 10 nF", "1 nF to 1 µF"];
    let text = sound()
        .replacen("\"10n\"", "\"10_n\"", 1)
        .replacen("\"10n\"", "\"10p\"", 1);
    check_file(
        &text.replace("10_n", "10n"),
        "out-of-ordinary",
        Doubt,
        &words,
        "\"10p\"",
    );
}
