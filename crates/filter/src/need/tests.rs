//! Order of trust: round trip of the shipped example, then refusals.

use super::read;
use units::{Hertz, Quantity, Seconds, Wpm};

const SHIPPED: &str = include_str!("../../../../examples/attic/need.toml");

#[test]
fn the_shipped_need_states_everything() {
    let need = read("need.toml", SHIPPED).unwrap();
    assert_eq!(need.assumed, Vec::<String>::new());
    assert_eq!(need.listening.pitch, Hertz(650.0));
    assert_eq!(need.listening.speed, Wpm(22.0));
    assert_eq!(need.listening.tail, Seconds(0.012));
    assert_eq!(need.listening.neighbours.len(), 2);
    assert_eq!(need.parts.opamps[0].name, "TL072");
}

#[test]
fn what_is_left_out_is_filled_and_told() {
    let text = "format = \"narrows need 1\"\n[listening]\npitch = \"600 Hz\"\n";
    let need = read("need.toml", text).unwrap();
    // 20 wpm: 16.67 Bd, K = 5 gives 83.3 Hz [SM1138]; 40 Hz to tune in.
    assert!((need.listening.width.si() - 123.0).abs() < 0.51);
    assert!((need.listening.tail.si() - 0.015).abs() < 1e-12);
    assert!(need.assumed.len() >= 10, "{:?}", need.assumed);
}

/// A line output: the load is stated or assumed, and the gain left out follows it.
#[test]
fn a_need_without_phones_drives_a_line() {
    const PHONES: &str = "phones    = { impedance = \"32 ohm\", sensitivity = \"100 dB/mW\" }";
    assert!(SHIPPED.contains(PHONES), "the example has other phones");
    let with = |lines: &str| read("need.toml", &SHIPPED.replace(PHONES, lines)).unwrap();
    let stated = with("phones = \"none\"\nload = \"47k\"");
    assert_eq!(stated.levels.phones, None);
    assert_eq!(stated.levels.load, units::Ohms(47e3));
    assert_eq!(stated.assumed, Vec::<String>::new());
    let left_out = with("phones = \"none\"");
    assert_eq!(left_out.levels.load, units::Ohms(10e3));
    assert!(
        left_out.assumed[0].contains("line input"),
        "{:?}",
        left_out.assumed
    );
    let bare = "format = \"narrows need 1\"\n[listening]\npitch = \"600 Hz\"\n[levels]\nphones = \"none\"\n";
    // 10 kΩ behind 100 Ω: 20 log10(10000/10100) = −0.086 dB.
    let gain = read("need.toml", bare).unwrap().levels.gain;
    assert_eq!(gain, units::Decibels(-0.1));
    assert_eq!(with(PHONES).levels.load, units::Ohms(32.0));
}

/// Options of the parts, off unless the need says so; two series at once.
#[test]
fn options_of_the_parts_are_read() {
    let parts = |text: &str| read("need.toml", text).unwrap().parts;
    let off = parts(SHIPPED);
    assert!(!off.resistors.pairs && !off.capacitors.pairs && !off.capacitors.unequal);
    let text = SHIPPED
        .replace("to = \"1M\"", "to = \"1M\", pairs = true")
        .replace(
            "to = \"220n\"",
            "to = \"220n\", pairs = true, unequal = true",
        )
        .replace("\"E24\"", "\"E96 + E24\"");
    let on = parts(&text);
    assert!(on.resistors.pairs && on.capacitors.pairs && on.capacitors.unequal);
    assert_eq!(on.resistors.series, "E24+E96");
}

/// Each slip, and words its complaint has to have.
#[test]
fn slips_are_refused_in_words() {
    let cases = [
        ("pitch = \"650 Hz\"", "", "never assumed"),
        (
            "pitch = \"650 Hz\"",
            "pitch = \"6500 Hz\"",
            "200 Hz to 1.2 kHz",
        ),
        (
            "speed = \"22 wpm\"",
            "speed = \"220 wpm\"",
            "5 wpm to 60 wpm",
        ),
        ("width = \"180 Hz\"", "widht = \"180 Hz\"", "width"),
        (
            "offset = \"+350 Hz\"",
            "offset = \"+5 Hz\"",
            "20 Hz or more",
        ),
        (
            "strongest = \"1.5 V\"",
            "strongest = \"15 mV\"",
            "comfortable signal",
        ),
        ("lowest   = \"7 V\"", "lowest   = \"11 V\"", "at most 9 V"),
        ("\"TL072\"", "\"TL702\"", "TL072"),
        ("\"TL072\"", "\"ideal\"", "can be bought"),
        ("series = \"E24\"", "series = \"E23\"", "E24"),
        ("kind = \"film\"", "kind = \"flim\"", "film"),
        ("to = \"1M\"", "to = \"2k\"", "ten times"),
        (
            "to = \"1M\"",
            "to = \"1M\", pairs = \"yes\"",
            "true or false, without quotes",
        ),
        ("to = \"1M\"", "to = \"1M\", pair = true", "pairs"),
        (
            "to = \"1M\" }",
            "to = \"1M\", pairs = true }\ndrawer = \"drawer.csv\"",
            "one by one",
        ),
        ("to = \"1M\"", "to = \"1M\", unequal = true", "unequal"),
        (
            "to = \"220n\"",
            "to = \"220n\", unequal = 2",
            "true or false",
        ),
        ("to = \"220n\"", "to = \"220m\"", "found"),
        ("most = 4", "most = 40", "6"),
        ("narrows need 1", "narrows need 9", "newer"),
        ("narrows need 1", "narrows circuit 1", "need"),
    ];
    for (from, to, expected) in cases {
        assert!(SHIPPED.contains(from), "the example no longer has {from}");
        let complaints = read("need.toml", &SHIPPED.replacen(from, to, 1)).unwrap_err();
        assert!(
            complaints.to_string().contains(expected),
            "{to:?}: {complaints}"
        );
    }
}

/// A supply on which nothing works is complained of where no op-amp is listed; found by fuzzing.
#[test]
fn a_supply_for_no_opamp_is_refused() {
    let need = SHIPPED
        .replace("lowest   = \"7 V\"", "lowest   = \"7 uV\"")
        .replace("opamps = [\"TL072\"]\n", "");
    let complaints = read("need.toml", &need).unwrap_err().to_string();
    assert!(complaints.contains("known op-amp works"), "{complaints}");
}

#[test]
fn fuzz_needs() {
    let runs = std::env::var("NARROWS_FUZZ_RUNS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(20_000);
    let alphabet = b"[]{}=\"'\\,.#-+_ \n\t0123456789akMnpuHzV%dBxe";
    let mut stream = numeric::SplitMix::new(0x9E37_79B9_7F4A_7C15);
    let mut draw = |below: usize| (stream.bits() % below as u64) as usize;
    let mut accepted = 0;
    for _ in 0..runs {
        let mut bytes = SHIPPED.as_bytes().to_vec();
        for _ in 0..=draw(3) {
            let at = draw(bytes.len());
            match draw(4) {
                0 => drop(bytes.remove(at)),
                1 => bytes.insert(at, alphabet[draw(alphabet.len())]),
                2 => bytes[at] = alphabet[draw(alphabet.len())],
                _ => drop(bytes.drain(at..(at + draw(40)).min(bytes.len()))),
            }
        }
        accepted += usize::from(read("need.toml", &String::from_utf8_lossy(&bytes)).is_ok());
    }
    // Both outcomes have to occur, or the mutations test nothing.
    assert!(
        accepted > 0 && accepted < runs,
        "{accepted} of {runs} accepted"
    );
}
