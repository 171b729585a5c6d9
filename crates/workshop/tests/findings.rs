//! Every finding fires on a circuit that is spoiled for it, and is silent on the good one.
//! Order of trust: the closed form or definition beside each row; our own contract that a
//! sound circuit draws no complaint.

use workshop::check::{CheckRequest, check};
use workshop::report::CheckReport;
use workshop::{Finding, Severity};

const GOOD: &str = include_str!("data/good-stage.toml");

fn report(text: &str) -> CheckReport {
    check(&CheckRequest {
        name: "circuit.toml".to_owned(),
        text: text.to_owned(),
        pitch: None,
        speed: None,
        at: None,
    })
    .unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// One way to spoil the good circuit, and what has to be said about it.
struct Row {
    id: &'static str,
    spoil: &'static [(&'static str, &'static str)],
    severity: Severity,
    says: &'static str,
}

const fn row(
    id: &'static str,
    spoil: &'static [(&'static str, &'static str)],
    severity: Severity,
    says: &'static str,
) -> Row {
    Row {
        id,
        spoil,
        severity,
        says,
    }
}

use Severity::{Caution, Note, Problem};

const FOUR_N_SEVEN: (&str, &str) = ("value = \"10n\"", "value = \"4n7\"");
/// The same R4·R5, so the same centre, and a Q about six times less.
const BLUNTED: &[(&str, &str)] = &[
    ("value = \"1k6\"", "value = \"9k1\""),
    ("value = \"560k\"", "value = \"100k\""),
];

const ROWS: &[Row] = &[
    row(
        "assumed_part",
        &[("dielectric = \"film\"\n", "")],
        Note,
        "C3, C4",
    ),
    // The + input at 0 V: the output follows its − input to the lower rail.
    row(
        "at_rest",
        &[(
            "value = \"22k\"\nbetween = [\"vcc\", \"mid\"]",
            "value = \"22M\"\nbetween = [\"vcc\", \"mid\"]",
        )],
        Problem,
        "stuck low",
    ),
    row(
        "at_rest",
        &[(
            "[\"series\", \"out\"]\ntolerance",
            "[\"out\", \"series\"]\ntolerance",
        )],
        Problem,
        "wrong way round",
    ),
    row(
        "at_rest",
        &[("voltage = \"9 V\"", "voltage = \"40 V\"")],
        Problem,
        "made for",
    ),
    // 500 mAh over some 3 mA are a week; 20 mAh are an evening.
    row(
        "battery_life",
        &[("capacity = \"500 mAh\"", "capacity = \"20 mAh\"")],
        Caution,
        "hours",
    ),
    // 20 log10(32/132) = −12.3 dB straight, so that with 8 Ω behind 100 Ω −22.6 dB.
    row(
        "bypass_match",
        &[("impedance = \"32 Ω\"", "impedance = \"8 Ω\"")],
        Caution,
        "-22.6 dB",
    ),
    row(
        "bypass_match",
        &[("impedance = \"32 Ω\"", "impedance = \"300 Ω\"")],
        Note,
        "quieter than bypass",
    ),
    row(
        "clips_early",
        &[("signal = \"50 mV\"", "signal = \"120 mV\"")],
        Caution,
        "comfortable signal is 120 mV",
    ),
    row(
        "clips_early",
        &[("strongest = \"150 mV\"", "strongest = \"1 V\"")],
        Note,
        "a tone at the pitch clips",
    ),
    row(
        "clips_early",
        &[("strongest = \"150 mV\"", "strongest = \"20 V\"")],
        Problem,
        "a neighbour clips an amplifier",
    ),
    // 50 mV · √2 · −12.32 dB, the circuit's own gain, into 32 Ω: 535 µA peak.
    row(
        "crossover",
        &[(
            "type = \"TL072\"\nplus = \"out1\"",
            "type = \"LM358\"\nplus = \"out1\"",
        )],
        Caution,
        "U1B of type LM358 has to sink 535 µA peak",
    ),
    row(
        "decoupling",
        &[
            (
                "value = \"100n\"\ndielectric = \"x7r\"\nbetween = [\"vcc\", \"0\"]",
                "value = \"10n\"\ndielectric = \"x7r\"\nbetween = [\"vcc\", \"0\"]",
            ),
            ("value = \"100µ\"", "value = \"33n\""),
        ],
        Caution,
        "47 nF",
    ),
    row(
        "doubtful_wiring",
        &[("ref = \"U1B\"", "ref = \"U1C\"")],
        Caution,
        "U1C",
    ),
    row(
        "gain_missed",
        &[("gain = \"-12.3 dB\"", "gain = \"-15 dB\"")],
        Caution,
        "-15.0 dB",
    ),
    row(
        "gain_missed",
        &[("gain = \"-12.3 dB\"", "gain = \"0 dB\"")],
        Problem,
        "+0.0 dB",
    ),
    row(
        "hum_line",
        &[("pitch = \"650 Hz\"", "pitch = \"610 Hz\"")],
        Note,
        "600 Hz on 50 Hz and 60 Hz mains",
    ),
    // 10 dB more sensitive phones.
    row(
        "loud",
        &[("sensitivity = \"90 dB/mW\"", "sensitivity = \"110 dB/mW\"")],
        Caution,
        "the signal called comfortable makes 8",
    ),
    row(
        "neighbour_heard",
        &[(
            "offset = \"300 Hz\", down = \"10 dB\"",
            "offset = \"300 Hz\", down = \"40 dB\"",
        )],
        Problem,
        "+300 Hz",
    ),
    row(
        "neighbour_heard",
        &[(
            "offset = \"300 Hz\", down = \"10 dB\"",
            "offset = \"300 Hz\", down = \"18 dB\"",
        )],
        Caution,
        "asked for 18.0 dB",
    ),
    // The inputs exchanged: the balance is one the circuit leaves for a rail.
    row(
        "no_figures",
        &[(
            "plus = \"mid\"\nminus = \"n1\"",
            "plus = \"n1\"\nminus = \"mid\"",
        )],
        Problem,
        "U1A",
    ),
    row(
        "no_resonance",
        &[("value = \"560k\"", "value = \"4k7\"")],
        Problem,
        "resona",
    ),
    row(
        "noisy",
        &[("signal = \"50 mV\"", "signal = \"1 mV\"")],
        Caution,
        "noise",
    ),
    row(
        "off_pitch",
        &[("pitch = \"650 Hz\"", "pitch = \"670 Hz\"")],
        Caution,
        "centred at",
    ),
    row("off_pitch", &[FOUR_N_SEVEN], Problem, "centred at"),
    // 1 V rms at −12.3 dB in 32 Ω asks 11 mA peak; 3 V 32 mA, and a TL072 gives 26 mA.
    row(
        "phones_drive",
        &[
            ("signal = \"50 mV\"", "signal = \"3 V\""),
            ("strongest = \"150 mV\"", "strongest = \"3 V\""),
        ],
        Problem,
        "26 mA",
    ),
    // A tail of 10.6 ms against a dit of 1.2/45 s = 26.7 ms.
    row(
        "rings",
        &[("speed = \"20 wpm\"", "speed = \"45 wpm\"")],
        Caution,
        "dit at 45 wpm",
    ),
    row(
        "rings",
        &[("tail = \"15 ms\"", "tail = \"8 ms\"")],
        Problem,
        "at most 8 ms",
    ),
    row(
        "slew",
        &[(
            "type = \"TL072\"",
            "type = { gain = \"106 dB\", bandwidth = \"3 MHz\", slew = \"0.0001 V/µs\" }",
        )],
        Caution,
        "follow",
    ),
    row(
        "slipped_prefix",
        &[
            ("value = \"10n\"", "value = \"10p\""),
            ("value = \"6n8\"", "value = \"6p8\""),
        ],
        Problem,
        "10 nF",
    ),
    // Δf0/f0 ≈ Q f0/ft: Q 9 at 650 Hz and 0.5 MHz are 1.2 %, a fifth of the half width, and
    // that much again at half the speed.
    row(
        "slow_amplifier",
        &[(
            "type = \"TL072\"",
            "type = { gain = \"106 dB\", bandwidth = \"0.5 MHz\", slew = \"13 V/µs\" }",
        )],
        Caution,
        "half as fast as typical",
    ),
    row(
        "starved_amplifier",
        &[("lowest = \"7 V\"", "lowest = \"6 V\"")],
        Caution,
        "6 V",
    ),
    // 22 µF are 11 Ω at 650 Hz, under 1 % of 1.6 kΩ; 1 µF are 223 Ω with 100 nF beside it.
    row(
        "stiff_bias",
        &[("value = \"22µ\"", "value = \"1µ\"")],
        Problem,
        "R4",
    ),
    // A1A needs 3 · 20/1.2 = 50 Hz at 20 wpm.
    row(
        "too_narrow",
        &[("width = \"120 Hz\"", "width = \"200 Hz\"")],
        Caution,
        "asked for 200 Hz",
    ),
    // K = 3: 50.0 Hz at 20 words a minute [PIERPONT, ch. 24], so three times that at 60.
    row(
        "too_narrow",
        &[("speed = \"20 wpm\"", "speed = \"60 wpm\"")],
        Problem,
        "needs 150 Hz",
    ),
    row(
        "unsuitable_dielectric",
        &[("dielectric = \"film\"", "dielectric = \"x7r\"")],
        Problem,
        "C3, C4",
    ),
    row(
        "value_doubted",
        &[
            ("value = \"1k6\"", "value = \"16R\""),
            ("value = \"10n\"", "value = \"1µ\""),
        ],
        Caution,
        "R4",
    ),
    row(
        "wider_than_asked",
        &[("width = \"120 Hz\"", "width = \"60 Hz\"")],
        Note,
        "60 Hz",
    ),
    // Two capacitors on the driver's loop: three poles under its crossover turn the phase.
    row(
        "sings",
        &[(
            "[[part]]\nref = \"D1\"",
            "[[part]]\nref = \"C20\"\nkind = \"capacitor\"\nvalue = \"10n\"\ndielectric = \"film\"\n\
             between = [\"driveminus\", \"0\"]\n[[part]]\nref = \"C21\"\nkind = \"capacitor\"\n\
             value = \"100n\"\ndielectric = \"film\"\nbetween = [\"drive\", \"0\"]\n[[part]]\nref = \"D1\"",
        )],
        Problem,
        "oscillates near",
    ),
    row("uneven_skirts", BLUNTED, Note, "below"),
    row("ear_already_filters", &[], Note, "all hiss falls"),
];

fn spoiled(row: &Row) -> String {
    row.spoil.iter().fold(GOOD.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{}: no {from}", row.id);
        text.replace(from, to)
    })
}

fn told(found: &[Finding]) -> Vec<String> {
    found
        .iter()
        .map(|f| format!("{:?} {}: {}", f.severity, f.id, f.text))
        .collect()
}

#[test]
fn the_good_circuit_draws_an_explanation_and_no_complaint() {
    let found = report(GOOD).findings;
    let ids: Vec<&str> = found.iter().map(|f| f.id).collect();
    assert_eq!(ids, ["ear_already_filters"], "{:#?}", told(&found));
}

#[test]
fn every_finding_fires_on_what_it_is_for() {
    let mut missing = Vec::new();
    for row in ROWS {
        let found = report(&spoiled(row)).findings;
        let fired = found
            .iter()
            .any(|f| f.id == row.id && f.severity == row.severity && f.text.contains(row.says));
        if !fired {
            missing.push(format!("{} {:?}: {:#?}", row.id, row.spoil, told(&found)));
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn every_finding_file_has_a_row() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/findings");
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let id = name.trim_end_matches(".rs");
        assert!(
            id == "mod" || ROWS.iter().any(|row| row.id == id),
            "{id} has no row"
        );
    }
}

#[test]
fn every_finding_says_what_why_and_what_to_do() {
    for row in ROWS {
        for f in report(&spoiled(row)).findings {
            for words in [&f.text, &f.why, &f.remedy] {
                assert!(words.len() > 6 && !words.contains("NaN"), "{f:?}");
            }
            assert!(!f.source.is_empty(), "{f:?}");
        }
    }
}

/// Physical invariant: a resistor to 0 V that carries the missing current ends the crossover.
#[test]
fn the_resistor_that_crossover_names_ends_it() {
    let bare = GOOD.replace(
        "type = \"TL072\"\nplus = \"out1\"",
        "type = \"LM358\"\nplus = \"out1\"",
    );
    let crossover = |text: &str| {
        let found = report(text).findings;
        found.into_iter().find(|f| f.id == "crossover")
    };
    let remedy = crossover(&bare).expect("it changes over").remedy;
    let ohms = remedy
        .strip_prefix("solder ")
        .and_then(|r| r.split(" from ").next())
        .unwrap_or_else(|| panic!("{remedy}"));
    let mended = bare.replace(
        "[listening]",
        &format!(
            "[[part]]\nref = \"R99\"\nkind = \"resistor\"\nvalue = \"{ohms}\"\nbetween = [\"drive\", \"0\"]\n\n[listening]"
        ),
    );
    assert_eq!(crossover(&mended), None);
}
