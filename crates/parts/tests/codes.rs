//! Letter-and-digit codes, figure codes and tolerance letters against IEC 60062 and
//! EIA-198. Sources: resistor examples and 10p, 4n7, 1µ0 read in the public article on the
//! code; figure codes, p33, 2m2 and most tolerance letters from memory.

use document::Objection;
use parts::Series;
use parts::marking::{
    Marked, ToleranceMark, capacitor_code, read_capacitor_code, read_resistor_code,
    read_rkm_capacitor, read_rkm_resistor, resistor_code, rkm_capacitor, rkm_resistor,
};
use proptest::prelude::*;
use units::{Farads, Ohms, Ratio};

fn given<T>(result: Result<T, Objection>) -> T {
    result.unwrap_or_else(|o| panic!("{o:?}"))
}

/// Published examples, both directions.
#[test]
fn letter_and_digit_codes_of_resistors() {
    for (code, ohms) in [
        ("R47", 0.47),
        ("R10", 0.1),
        ("4R7", 4.7),
        ("470R", 470.0),
        ("4K7", 4.7e3),
        ("47K", 47e3),
        ("47K3", 47.3e3),
        ("470K", 470e3),
        ("4M7", 4.7e6),
        ("1K0", 1e3),
        ("2M2", 2.2e6),
        ("10L", 0.01),
        ("1G0", 1e9),
    ] {
        assert_eq!(given(read_rkm_resistor(code)).value, Ohms(ohms), "{code}");
        assert_eq!(rkm_resistor(Ohms(ohms)).as_deref(), Some(code));
    }
    assert_eq!(given(read_rkm_resistor("4k7")).value, Ohms(4700.0));
    let marked = given(read_rkm_resistor("R47K"));
    assert_eq!(marked.value, Ohms(0.47));
    assert_eq!(marked.tolerance, Some(ToleranceMark::Within(Ratio(0.1))));
    assert_eq!(given(read_rkm_resistor("47K")).tolerance, None);
    let five = Some(ToleranceMark::Within(Ratio(0.05)));
    assert_eq!(given(read_rkm_resistor("4K7J")).tolerance, five);
    let slip = read_rkm_resistor("4m7").expect_err("milli");
    assert!(slip.advice.contains("4M7"), "{slip:?}");
    for rubbish in [
        "",
        "K",
        "47",
        "4K7JJ",
        "4X7",
        "-4K7",
        "4K7Y",
        "123456789K",
        "4.7K",
        "µ",
    ] {
        let slip = read_rkm_resistor(rubbish).expect_err(rubbish);
        assert!(!slip.found.is_empty() && !slip.advice.is_empty());
    }
    for none in [
        0.0,
        -1.0,
        f64::NAN,
        f64::INFINITY,
        1e13,
        1e-9,
        47.312e3,
        1e5 / 3.0,
    ] {
        assert_eq!(rkm_resistor(Ohms(none)), None, "{none}");
    }
}

/// Published examples (first three read, the rest from memory), both directions.
#[test]
fn letter_and_digit_codes_of_capacitors() {
    for (code, farads) in [
        ("10p", 10e-12),
        ("4n7", 4.7e-9),
        ("1µ0", 1e-6),
        ("p33", 0.33e-12),
        ("2m2", 2.2e-3),
        ("100n", 100e-9),
        ("4p7", 4.7e-12),
    ] {
        assert_eq!(
            given(read_rkm_capacitor(code)).value,
            Farads(farads),
            "{code}"
        );
        assert_eq!(rkm_capacitor(Farads(farads)).as_deref(), Some(code));
    }
    assert_eq!(given(read_rkm_capacitor("1u0")).value, Farads(1e-6));
    assert_eq!(given(read_rkm_capacitor("1μ0")).value, Farads(1e-6));
    assert_eq!(given(read_rkm_capacitor("10pF")).tolerance, None);
    let ten = Some(ToleranceMark::Within(Ratio(0.1)));
    assert_eq!(given(read_rkm_capacitor("100nK")).tolerance, ten);
    let one = Some(ToleranceMark::Within(Ratio(0.01)));
    assert_eq!(given(read_rkm_capacitor("4n7F")).tolerance, one);
    let quarter = Some(ToleranceMark::Absolute(Farads(0.25e-12)));
    assert_eq!(given(read_rkm_capacitor("4p7C")).tolerance, quarter);
    for rubbish in ["", "n", "100", "4M7", "4n7JJ", "4n7Ω"] {
        assert!(read_rkm_capacitor(rubbish).is_err(), "{rubbish}");
    }
}

/// Common marking practice (memory), both directions.
#[test]
fn figures_on_resistors() {
    for (code, ohms, significant) in [
        ("472", 4.7e3, 2),
        ("4701", 4.7e3, 3),
        ("103", 10e3, 2),
        ("1002", 10e3, 3),
        ("4R7", 4.7, 2),
        ("R47", 0.47, 2),
        ("47R5", 47.5, 3),
        ("470", 47.0, 2),
        ("000", 0.0, 2),
        ("0000", 0.0, 3),
        ("4751", 4.75e3, 3),
        ("R047", 0.047, 2),
    ] {
        assert_eq!(given(read_resistor_code(code)), Ohms(ohms), "{code}");
        assert_eq!(
            resistor_code(Ohms(ohms), significant).as_deref(),
            Some(code)
        );
    }
    for rubbish in [
        "",
        "47",
        "47000",
        "4K7",
        "4R7R",
        "R",
        "-47",
        "４７２",
        "004",
        "0472",
    ] {
        assert!(read_resistor_code(rubbish).is_err(), "{rubbish}");
    }
    assert_eq!(resistor_code(Ohms(4750.0), 2), None);
    assert_eq!(resistor_code(Ohms(1e-4), 2), None);
}

/// Capacitor figures (memory), both directions; every honest reading.
#[test]
fn figures_on_capacitors() {
    for (code, farads) in [
        ("104", 100e-9),
        ("473", 47e-9),
        ("222", 2.2e-9),
        ("101", 100e-12),
        ("479", 4.7e-12),
        ("478", 0.47e-12),
        ("105", 1e-6),
    ] {
        let readings = given(read_capacitor_code(code));
        let only = Marked {
            value: Farads(farads),
            tolerance: None,
        };
        assert_eq!(readings, [only], "{code}");
        assert_eq!(capacitor_code(Farads(farads)).as_deref(), Some(code));
    }
    let values = |code: &str| -> Vec<f64> {
        given(read_capacitor_code(code))
            .iter()
            .map(|m| m.value.0)
            .collect()
    };
    assert_eq!(values("220"), [22e-12, 220e-12]);
    assert_eq!(values("47"), [47e-12]);
    assert_eq!(values("4700"), [4.7e-9]);
    assert_eq!(values("047"), [47e-12]);
    assert_eq!(values("0.01"), [10e-9]);
    assert_eq!(values(".1"), [100e-9]);
    assert_eq!(values("4.7"), [4.7e-12, 4.7e-6]);
    let marked = given(read_capacitor_code("104K"));
    assert_eq!(marked[0].tolerance, Some(ToleranceMark::Within(Ratio(0.1))));
    let small = given(read_capacitor_code("479C"));
    assert_eq!(
        small[0].tolerance,
        Some(ToleranceMark::Absolute(Farads(0.25e-12)))
    );
    for rubbish in ["", "K", "000", "0", "10456", "1.2.3", "104KK", ".", "٣٤"] {
        assert!(read_capacitor_code(rubbish).is_err(), "{rubbish}");
    }
    assert_eq!(capacitor_code(Farads(4.75e-9)), None);
    assert_eq!(capacitor_code(Farads(1.0)), None);
}

/// Published letters (F and K read, the others from memory), both directions.
#[test]
fn tolerance_letters() {
    for (letter, percent) in [
        ('B', 0.1),
        ('C', 0.25),
        ('D', 0.5),
        ('F', 1.0),
        ('G', 2.0),
        ('H', 3.0),
        ('J', 5.0),
        ('K', 10.0),
        ('M', 20.0),
        ('N', 30.0),
        ('L', 0.01),
        ('P', 0.02),
        ('W', 0.05),
        ('E', 0.005),
    ] {
        let mark = given(ToleranceMark::of_resistor(letter));
        assert_eq!(
            mark,
            ToleranceMark::Within(Ratio(percent / 100.0)),
            "{letter}"
        );
        assert_eq!(mark.letter(), Some(letter));
        assert_eq!(
            given(ToleranceMark::of_capacitor(letter, Farads(1e-9))),
            mark
        );
    }
    for (letter, minus, plus) in [
        ('Q', 10.0, 30.0),
        ('T', 10.0, 50.0),
        ('S', 20.0, 50.0),
        ('Z', 20.0, 80.0),
    ] {
        let mark = given(ToleranceMark::of_capacitor(letter, Farads(1e-7)));
        let expected = ToleranceMark::Between {
            minus: Ratio(minus / 100.0),
            plus: Ratio(plus / 100.0),
        };
        assert_eq!(mark, expected);
        assert_eq!(mark.letter(), Some(letter));
        assert!(ToleranceMark::of_resistor(letter).is_err());
    }
    for (letter, pf) in [
        ('B', "±0.1 pF"),
        ('C', "±0.25 pF"),
        ('D', "±0.5 pF"),
        ('F', "±1 pF"),
        ('G', "±2 pF"),
    ] {
        let mark = given(ToleranceMark::of_capacitor(letter, Farads(4.7e-12)));
        assert_eq!(mark.to_string(), pf);
        assert_eq!(mark.letter(), Some(letter));
    }
    assert_eq!(given(ToleranceMark::of_resistor('j')).to_string(), "±5 %");
    assert!(ToleranceMark::of_resistor('X').is_err());
    assert_eq!(ToleranceMark::Within(Ratio(0.07)).letter(), None);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(1000) })]

    /// Round trip over all series and decades; two routes: the same text read as a value.
    #[test]
    fn codes_are_read_back(
        series in proptest::sample::select(Series::ALL.to_vec()),
        r in -1.9..8.9f64,
        c in -12.9..-2.1f64,
    ) {
        let r = series.nearest(Ohms(10f64.powf(r)));
        let code = rkm_resistor(r).expect("in range");
        prop_assert_eq!(read_rkm_resistor(&code).map(|m| m.value), Ok(r), "{}", code);
        if !code.contains('L') {
            prop_assert_eq!(code.parse::<Ohms>().ok(), Some(r), "{}", code);
        }
        let c = series.nearest(Farads(10f64.powf(c)));
        let code = rkm_capacitor(c).expect("in range");
        prop_assert_eq!(read_rkm_capacitor(&code).map(|m| m.value), Ok(c), "{}", code);
        prop_assert_eq!(code.parse::<Farads>().ok(), Some(c), "{}", code);
        if let Some(code) = resistor_code(r, 3) {
            prop_assert_eq!(read_resistor_code(&code), Ok(r), "{}", code);
        }
        if let Some(code) = capacitor_code(c) {
            let readings = read_capacitor_code(&code).expect("ours");
            prop_assert_eq!(readings[0].value, c, "{}", code);
        }
    }
}
