//! What is refused, where the caret stands, and what is suggested. The judgement is ours
//! (DESIGN: ambiguous or impossible values are refused); each row is one decision.

use units::{
    AmpereHours, Decibels, DecibelsPerMilliwatt, Farads, Henries, Hertz, Ohms, Quantity, Ratio,
    Seconds, Volts, Wpm,
};

/// The text is refused, the caret stands under `at`, and the three fragments hold the words.
#[track_caller]
fn check<Q: Quantity + std::fmt::Debug>(text: &str, at: &str, found: &str, advice: &str) {
    let Err(slip) = Q::parse(text) else {
        panic!("{text} was taken for {:?}", Q::parse(text));
    };
    assert_eq!(&text[slip.span.clone()], at, "{slip}");
    assert!(slip.found.contains(found), "{slip}");
    assert!(slip.advice.contains(advice), "{slip}");
    assert!(slip.allowed.starts_with(Q::NAME), "{slip}");
}

#[test]
fn milli_and_mega_are_not_confused() {
    check::<Ohms>("10m", "m", "\"m\" (milli)", "write 10 MΩ if you mean mega");
    check::<Ohms>("4.7 mΩ", "m", "(milli) on a resistance", "write 4.7 MΩ");
    check::<Ohms>("4m7", "m", "(milli) on a resistance", "write 4.7 MΩ");
    check::<Ohms>("m47", "m", "(milli) on a resistance", "write 0.47 MΩ");
    check::<Ohms>(
        "4 milliohm",
        "milliohm",
        "(milli) on a resistance",
        "write 4 MΩ",
    );
    check::<Farads>("10M", "M", "(mega) on a capacitance", "write 10 µF");
    check::<Farads>("0.1 MF", "M", "(mega) on a capacitance", "write 0.1 µF");
    check::<Farads>("2M2", "M", "(mega) on a capacitance", "write 2.2 µF");
    check::<Hertz>("3 mHz", "m", "(milli) on a frequency", "write 3 MHz");
    check::<Seconds>("12 Ms", "M", "(mega) on a time", "write 12 ms");
    check::<Volts>("120 MV", "M", "(mega) on a voltage", "write 120 mV");
    check::<AmpereHours>("500 MAh", "M", "(mega) on a battery", "write 500 mAh");
    check::<Henries>("10M", "M", "(mega) on an inductance", "write 10 mH");
}

#[test]
fn a_bare_number_is_refused_where_it_could_mean_several_things() {
    check::<Farads>(
        "104",
        "104",
        "bare number 104",
        "a capacitor marked 104 is 100 nF",
    );
    check::<Farads>(
        "473",
        "473",
        "bare number",
        "a capacitor marked 473 is 47 nF",
    );
    check::<Farads>(
        "0.1",
        "0.1",
        "bare number 0.1",
        "0.1 pF or 0.1 nF or 0.1 µF",
    );
    check::<Farads>("220", "220", "bare number", "marked 220 is 22 pF");
    check::<Seconds>("12", "12", "bare number", "12 ms or 12 s");
    check::<Seconds>("12m", "12m", "a prefix without a unit", "12 ms or 12 s");
    check::<Ratio>("5", "5", "bare number", "write the unit: 5 %");
    check::<AmpereHours>("500", "500", "bare number", "500 mAh or 500 Ah");
    check::<DecibelsPerMilliwatt>("100", "100", "bare number", "100 dB/mW");
}

#[test]
fn decimal_and_thousands_signs() {
    check::<Ohms>(
        "4,700",
        "4,700",
        "a comma before exactly three",
        "write 4.700 or 4700",
    );
    check::<Hertz>(
        "1,234,567",
        "1,234,567",
        "more than one decimal",
        "1234.567",
    );
    check::<Hertz>("1.234,5", "1.234,5", "more than one decimal sign", "1234.5");
    check::<Ohms>(
        "1 00 0",
        "1 00 0",
        "otherwise than in threes",
        "without spaces",
    );
    check::<Ohms>(
        "47 00",
        "47 00",
        "otherwise than in threes",
        "without spaces",
    );
    check::<Ohms>(
        "3.141 592",
        "3.141 592",
        "otherwise than in threes",
        "without spaces",
    );
}

#[test]
fn other_quantities_are_named() {
    check::<Ohms>("100 nF", "nF", "a capacitance", "give a resistance");
    check::<Ohms>("100n", "n", "(nano) on a resistance", "like 4k7");
    check::<Farads>("4.7 kΩ", "kΩ", "a resistance", "give a capacitance");
    check::<Hertz>("12 ms", "ms", "a time", "give a frequency");
    check::<Seconds>("650 Hz", "Hz", "a frequency", "give a time");
    check::<Decibels>("5 %", "%", "a percentage", "give a level");
    check::<DecibelsPerMilliwatt>("100 dB", "dB", "a level in decibels", "100 dB/mW");
}

#[test]
fn old_and_foreign_writings_are_translated() {
    check::<Farads>(
        "0.1 mfd",
        "mfd",
        "old writing for microfarad",
        "write 0.1 µF",
    );
    check::<Farads>(
        "100 mmf",
        "mmf",
        "old writing for picofarad",
        "write 100 pF",
    );
    check::<Farads>(
        "100 µµF",
        "µµF",
        "old writing for picofarad",
        "write 100 pF",
    );
    check::<Ohms>("4E7", "E", "a capital E", "write 4R7");
    check::<Ohms>("47E", "E", "a capital E", "write 47R");
}

#[test]
fn signs_ranges_and_rubbish() {
    check::<Ohms>("-4k7", "-", "a minus sign", "without the sign");
    check::<Ratio>("-5 %", "-", "a minus sign", "without the sign");
    check::<Ohms>(
        "0.0001",
        "0.0001",
        "too small",
        "the least that is taken is 0.001 Ω",
    );
    check::<Farads>(
        "100 F",
        "100 F",
        "too great",
        "the most that is taken is 1 F",
    );
    check::<Wpm>("2200", "2200", "too great", "1000 wpm");
    check::<Ohms>("1e400", "1e400", "too great", "check the prefix");
    check::<Ohms>("", "", "nothing", "write it like 4k7");
    check::<Ohms>("  ", "  ", "nothing", "write it like 4k7");
    check::<Ohms>(
        "abc",
        "abc",
        "does not begin with a number",
        "write it like 4k7",
    );
    check::<Ohms>(
        ".",
        ".",
        "does not begin with a number",
        "write it like 4k7",
    );
    check::<Ohms>("+", "", "does not begin with a number", "write it like 4k7");
    check::<Ohms>(
        "nan",
        "nan",
        "does not begin with a number",
        "write it like 4k7",
    );
    check::<Ohms>("4x7", "x7", "\"x7\" after the number", "write it like 4k7");
    check::<Ohms>("4k7 J", "J", "\"J\" after the number", "write it like 4k7");
    check::<Ohms>(
        "4.7k7",
        "k7",
        "\"k7\" after the number",
        "write it like 4k7",
    );
    check::<Ohms>(
        "４７",
        "４７",
        "does not begin with a number",
        "write it like 4k7",
    );
    check::<Hertz>("650 Hzz", "Hzz", "\"Hzz\" after the number", "650 Hz");
}
