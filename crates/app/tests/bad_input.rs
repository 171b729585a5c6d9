//! Every kind of wrong input gets a message that says what was found, what is allowed and
//! what to do, with file, line and caret; the exit code is 2 and nothing is written.
//! Order of trust: our own contract with the user.

use crate::run::{NEED, OLD_BOX, narrows, root, trouble};
use std::fs;

/// One slip: what is replaced in the shipped file, and words the message has to have.
struct Slip {
    kind: &'static str,
    from: &'static str,
    to: &'static str,
    says: &'static [&'static str],
}

const fn slip(
    kind: &'static str,
    from: &'static str,
    to: &'static str,
    says: &'static [&'static str],
) -> Slip {
    Slip {
        kind,
        from,
        to,
        says,
    }
}

/// Slips in a need file.
const NEED_SLIPS: &[Slip] = &[
    slip("broken TOML", "[levels]", "[levels", &["]"]),
    slip(
        "unclosed text",
        "pitch = \"650 Hz\"",
        "pitch = \"650 Hz",
        &["\""],
    ),
    slip(
        "no pitch",
        "pitch = \"650 Hz\"",
        "",
        &["no pitch", "never assumed"],
    ),
    slip(
        "pitch too high for an ear filter",
        "pitch = \"650 Hz\"",
        "pitch = \"6.5 kHz\"",
        &["6.5 kHz", "1.2 kHz"],
    ),
    slip(
        "a pitch that is a word",
        "\"650 Hz\"",
        "\"low\"",
        &["low", "Hz"],
    ),
    slip(
        "phones that are neither none nor stated",
        "{ impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }",
        "\"loud ones\"",
        &["loud ones", "\"none\"", "impedance"],
    ),
    slip(
        "a load beside phones",
        "source    = \"100 ohm\"",
        "source    = \"100 ohm\"\nload = \"10k\"",
        &["beside phones", "phones = \"none\""],
    ),
    slip(
        "a load without a word on phones",
        "phones    = { impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }",
        "load      = \"10k\"",
        &["no word on phones", "phones = \"none\""],
    ),
    slip(
        "a line output into a loudspeaker",
        "phones    = { impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }",
        "phones    = \"none\"\nload      = \"8 ohm\"",
        &["8 Ω", "600 Ω"],
    ),
    slip(
        "a drawer without a name",
        "stages = { most = 4 }",
        "stages = { most = 4 }\ndrawer = \" \"",
        &["empty name", "drawer.csv"],
    ),
    slip("a negative speed", "\"22 wpm\"", "\"-22 wpm\"", &["wpm"]),
    slip(
        "a number where a text stands",
        "\"22 wpm\"",
        "true",
        &["wpm"],
    ),
    slip(
        "the wrong unit",
        "\"180 Hz\"",
        "\"180 ms\"",
        &["180 ms", "Hz"],
    ),
    slip("an unknown key", "tail  =", "tial  =", &["tial", "tail"]),
    slip(
        "an unknown table",
        "[levels]",
        "[level]",
        &["level", "levels"],
    ),
    slip(
        "a neighbour on the pitch",
        "\"+350 Hz\"",
        "\"+3 Hz\"",
        &["20 Hz"],
    ),
    slip(
        "a neighbour below 0 Hz",
        "\"-350 Hz\"",
        "\"-700 Hz\"",
        &["-700 Hz"],
    ),
    slip(
        "an attenuation no filter has",
        "\"30 dB\"",
        "\"300 dB\"",
        &["300 dB", "80 dB"],
    ),
    slip(
        "a strongest signal below the comfortable one",
        "\"1.5 V\"",
        "\"15 mV\"",
        &["15 mV", "120 mV"],
    ),
    slip(
        "a supply no op-amp has",
        "voltage  = \"9 V\"",
        "voltage  = \"90 V\"",
        &["90 V", "36 V"],
    ),
    slip(
        "a tired supply above the fresh one",
        "\"7 V\"",
        "\"12 V\"",
        &["12 V", "9 V"],
    ),
    slip("an unknown series", "\"E24\"", "\"E25\"", &["E25", "E24"]),
    slip(
        "an unknown dielectric",
        "\"film\"",
        "\"flim\"",
        &["flim", "film"],
    ),
    slip(
        "an op-amp that the supply destroys",
        "\"TL072\"",
        "\"MCP6002\"",
        &["MCP6002 bears 6 V", "7 V to 9 V", "TL072"],
    ),
    slip(
        "an unknown op-amp",
        "\"TL072\"",
        "\"TL702\"",
        &["TL702", "TL072"],
    ),
    slip(
        "a megafarad",
        "to = \"220n\"",
        "to = \"220M\"",
        &["220M", "capacitance"],
    ),
    slip("too many stages", "most = 4", "most = 40", &["40", "6"]),
    slip(
        "a circuit where a need belongs",
        "narrows need 1",
        "narrows circuit 1",
        &["need"],
    ),
    slip(
        "a newer format",
        "narrows need 1",
        "narrows need 7",
        &["newer"],
    ),
];

/// Slips in a circuit file.
const CIRCUIT_SLIPS: &[Slip] = &[
    slip(
        "an unknown kind",
        "kind = \"opamp\"",
        "kind = \"opmap\"",
        &["opmap", "opamp"],
    ),
    slip(
        "two parts with one reference",
        "ref = \"R4\"",
        "ref = \"R3\"",
        &["R3"],
    ),
    slip(
        "a part between one node",
        "between = [\"a\", \"b\"]",
        "between = [\"a\"]",
        &["two"],
    ),
    slip(
        "a capacitor of zero",
        "value = \"2n2\"",
        "value = \"0n\"",
        &["C3", "0"],
    ),
    slip(
        "a milliohm where kilohms are meant",
        "value = \"390k\"",
        "value = \"390m\"",
        &["390m"],
    ),
    slip(
        "a tolerance over the value itself",
        "tolerance = \"5 %\"",
        "tolerance = \"120 %\"",
        &["120 %", "100 %"],
    ),
    slip(
        "an op-amp without supply",
        "supply = {",
        "# supply = {",
        &["supply"],
    ),
    slip(
        "an output that no part reaches",
        "output = \"out\"",
        "output = \"ouch\"",
        &["ouch"],
    ),
    slip(
        "an input on 0 V",
        "input  = \"in\"",
        "input  = \"0\"",
        &["0"],
    ),
    slip(
        "a loose end in a signal path",
        "minus = \"n1\"",
        "minus = \"n9\"",
        &["n9"],
    ),
    slip(
        "a wrong pitch beside the parts",
        "pitch = \"650 Hz\"",
        "pitch = \"65 Hz\"",
        &["65 Hz", "200 Hz"],
    ),
];

#[test]
fn every_slip_in_a_need_is_told_and_nothing_is_written() {
    all(NEED_SLIPS, NEED, "plan");
}

#[test]
fn every_slip_in_a_circuit_is_told_and_nothing_is_written() {
    all(CIRCUIT_SLIPS, OLD_BOX, "sheet");
    all(CIRCUIT_SLIPS, OLD_BOX, "retune");
}

fn all(slips: &[Slip], shipped: &str, command: &str) {
    let original = fs::read_to_string(root().join(shipped)).unwrap();
    let folder = tempfile::tempdir().unwrap();
    for slip in slips {
        assert!(
            original.contains(slip.from),
            "{}: the example lost {:?}",
            slip.kind,
            slip.from
        );
        let file = folder.path().join("slip.toml");
        fs::write(&file, original.replacen(slip.from, slip.to, 1)).unwrap();
        let out = folder.path().join("out");
        let output = narrows(&[
            command.as_ref(),
            file.as_os_str(),
            "--out".as_ref(),
            out.as_os_str(),
        ]);
        let message = trouble(&output);
        assert_eq!(output.status.code(), Some(2), "{}:\n{message}", slip.kind);
        for words in slip.says {
            assert!(
                message.contains(words),
                "{}: no {words:?} in\n{message}",
                slip.kind
            );
        }
        assert!(
            message.contains("slip.toml:"),
            "{}: no file and line in\n{message}",
            slip.kind
        );
        assert!(
            message.contains('^'),
            "{}: no caret in\n{message}",
            slip.kind
        );
        assert!(
            message.contains("help:"),
            "{}: no advice in\n{message}",
            slip.kind
        );
        assert!(
            output.stdout.is_empty() && !out.exists(),
            "{}: something was written",
            slip.kind
        );
    }
}

#[test]
fn a_file_that_cannot_be_read_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let binary = folder.path().join("binary.toml");
    fs::write(&binary, [0xff, 0xfe, 0x00]).unwrap();
    let huge = folder.path().join("huge.toml");
    fs::write(&huge, vec![b'#'; (4 << 20) + 1]).unwrap();
    let cases = [
        (folder.path().join("missing.toml"), "no such file"),
        (folder.path().to_path_buf(), "folder"),
        (binary, "UTF-8"),
        (huge, "4 MiB"),
    ];
    for (path, words) in cases {
        let output = narrows(&["check".as_ref(), path.as_os_str()]);
        assert_eq!(output.status.code(), Some(2));
        assert!(trouble(&output).contains(words), "{}", trouble(&output));
    }
}

#[test]
fn wrong_options_are_told() {
    for (arguments, words) in [
        (["check", OLD_BOX, "--at", "500,,700"], "--at"),
        (["check", OLD_BOX, "--pitch=-5", "--json"], "--pitch"),
        (["check", OLD_BOX, "--speed", "fast"], "wpm"),
        (["check", OLD_BOX, "--pitch", "650kHz"], "200 Hz to 1.2 kHz"),
        (["check", OLD_BOX, "--speed", "900"], "5 wpm to 60 wpm"),
        (["sheet", OLD_BOX, "--symbols", "ansi"], "ieee"),
        (["spread", OLD_BOX, "--trials", "1e4"], "a whole number"),
    ] {
        let output = narrows(&arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(trouble(&output).contains(words), "{}", trouble(&output));
    }
}
