//! What people write, and what it means. Source of the markings: IEC 60062 as quoted in
//! the public RKM-code article (R47, 4R7, 470R, 4K7, 47K3, 2M2; 4n7, p33, 2m2); the rest
//! is arithmetic.

use units::{
    AmpereHours, Amperes, AmperesPerRootHertz, Decibels, DecibelsPerMilliwatt, Farads, Henries,
    Hertz, Ohms, Quantity, Ratio, Seconds, Volts, VoltsPerRootHertz, VoltsPerSecond, Wpm,
};

/// Reading is correctly rounded, so equality is meant to the bit.
#[track_caller]
fn check<Q: Quantity>(text: &str, si: f64) {
    match Q::parse(text) {
        Ok(q) => assert_eq!(
            q.si().to_bits(),
            si.to_bits(),
            "{text}: {} against {si}",
            q.si()
        ),
        Err(e) => panic!("{text}: {e}"),
    }
}

#[test]
fn resistances() {
    for text in [
        "4k7",
        "4.7k",
        "4.7 kΩ",
        "4.7 kohm",
        "4700",
        "4.7K",
        "4K7",
        "4,7k",
        "4 700",
        "4_700",
        "4'700",
        "4\u{202f}700 Ω",
        "4.7 k\u{2126}",
        "4700R",
        "4.7 kilohm",
        "0.0047M",
        " 4k7\t",
        "4.7e3",
        "47e2 ohms",
        "4k7 Ω",
        "4k70",
        "+4k7",
        "4700 R",
        "0.0047 megohm",
        "4.7KOHM",
    ] {
        check::<Ohms>(text, 4700.0);
    }
    check::<Ohms>("R47", 0.47);
    check::<Ohms>("4R7", 4.7);
    check::<Ohms>("4Ω7", 4.7);
    check::<Ohms>("470R", 470.0);
    check::<Ohms>("47K3", 47_300.0);
    check::<Ohms>("2M2", 2.2e6);
    check::<Ohms>("K47", 470.0);
    check::<Ohms>("1G", 1e9);
    check::<Ohms>("1T", 1e12);
    check::<Ohms>("0", 0.0);
    check::<Ohms>("100 ohm", 100.0);
    check::<Ohms>("0,5", 0.5);
    check::<Ohms>("0,500", 0.5);
}

#[test]
fn capacitances() {
    for text in [
        "100n",
        "0.1u",
        "0.1 µF",
        "0.1 μF",
        "0.1 uF",
        "100 nF",
        "100N",
        "100nf",
        "0.1 microfarad",
        "100000p",
        "0,1µ",
        ".1u",
        "100 nanofarads",
        "1e-7 F",
        "µ1",
        "u10",
        "100n F",
    ] {
        check::<Farads>(text, 1e-7);
    }
    check::<Farads>("4n7", 4.7e-9);
    check::<Farads>("4µ7", 4.7e-6);
    check::<Farads>("p33", 0.33e-12);
    check::<Farads>("2m2", 2.2e-3);
    check::<Farads>("1µ0", 1e-6);
    check::<Farads>("0", 0.0);
}

#[test]
fn the_other_quantities() {
    check::<Hertz>("1.2 kHz", 1200.0);
    check::<Hertz>("1k2", 1200.0);
    check::<Hertz>("+350 Hz", 350.0);
    check::<Hertz>("-350 Hz", -350.0);
    check::<Hertz>("\u{2212}350 Hz", -350.0);
    check::<Hertz>("650", 650.0);
    check::<Hertz>("3 MHz", 3e6);
    check::<Ratio>("5 %", 0.05);
    check::<Ratio>("±0.5%", 0.005);
    check::<Ratio>("50 ppm", 50e-6);
    check::<Wpm>("22 wpm", 22.0);
    check::<Wpm>("22", 22.0);
    check::<Seconds>("12 ms", 12e-3);
    check::<Seconds>("20 µs", 20e-6);
    check::<Volts>("120 mV", 0.12);
    check::<Volts>("3V3", 3.3);
    check::<Volts>("9", 9.0);
    check::<AmpereHours>("500 mAh", 0.5);
    check::<Amperes>("65 pA", 65e-12);
    check::<Decibels>("30 dB", 30.0);
    check::<Decibels>("-6", -6.0);
    check::<DecibelsPerMilliwatt>("100 dB/mW", 100.0);
    check::<DecibelsPerMilliwatt>("96 dB SPL/mW", 96.0);
    check::<Henries>("88 mH", 88e-3);
    check::<Henries>("4m7", 4.7e-3);
    check::<VoltsPerSecond>("13 V/µs", 13e6);
    check::<VoltsPerRootHertz>("18 nV/√Hz", 18e-9);
    check::<AmperesPerRootHertz>("10 fA/rtHz", 10e-15);
}

#[test]
fn printing() {
    assert_eq!(Ohms(4700.0).to_string(), "4.7 kΩ");
    assert_eq!(Ohms(7957.747).to_string(), "7.958 kΩ");
    assert_eq!(format!("{:.2}", Ohms(7957.747)), "8 kΩ");
    assert_eq!(Ohms(999.96).to_string(), "1 kΩ");
    assert_eq!(Ohms(f64::INFINITY).to_string(), "∞ Ω");
    assert_eq!(Ohms(0.0).to_string(), "0 Ω");
    assert_eq!(Farads(1e-7).to_string(), "100 nF");
    assert_eq!(Farads(2.2e-6).to_string(), "2.2 µF");
    assert_eq!(format!("{:+}", Hertz(350.0)), "+350 Hz");
    assert_eq!(format!("{:+}", Hertz(-350.0)), "-350 Hz");
    assert_eq!(Ratio(0.05).to_string(), "5 %");
    assert_eq!(VoltsPerSecond(13e6).to_string(), "13 V/µs");
    assert_eq!(VoltsPerRootHertz(18e-9).to_string(), "18 nV/√Hz");
    assert_eq!(Decibels(-0.25).to_string(), "-0.25 dB");
    assert_eq!(format!("[{:>8}]", Ohms(470.0)), "[   470 Ω]");
    assert_eq!(format!("[{:8}]", Ohms(470.0)), "[470 Ω   ]");
}

#[test]
fn short_forms_for_schematics() {
    for (value, text) in [
        (0.47, "R47"),
        (4.7, "4R7"),
        (470.0, "470R"),
        (4700.0, "4k7"),
        (47_300.0, "47k3"),
        (1e5, "100k"),
        (2.2e6, "2M2"),
        (1e3, "1k"),
        (0.0, "0 Ω"),
    ] {
        assert_eq!(Ohms(value).short(), text);
    }
    for (value, text) in [
        (0.33e-12, "p33"),
        (4.7e-9, "4n7"),
        (1e-7, "100n"),
        (2.2e-6, "2µ2"),
        (2.2e-3, "2m2"),
    ] {
        assert_eq!(Farads(value).short(), text);
    }
    assert_eq!(Henries(88e-3).short(), "88m");
    assert_eq!(Hertz(1200.0).short(), "1.2 kHz");
}
