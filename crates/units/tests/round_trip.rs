//! Round trips, biased to awkward numbers: edges of decades, halves of the last digit,
//! neighbouring doubles, the ends of each range.

use proptest::prelude::*;
use units::{
    AmpereHours, Amperes, Decibels, Farads, Henries, Hertz, Ohms, Quantity, Ratio, Seconds, Volts,
    VoltsPerRootHertz, VoltsPerSecond, Wpm,
};

/// Magnitudes within `[least, most]`: any exponent, three-figure decimals, powers of ten
/// with the doubles on either side, and the ends.
fn magnitude(least: f64, most: f64) -> impl Strategy<Value = f64> {
    let (low, high) = (least.max(1e-30).log10(), most.log10());
    let any = (low..=high).prop_map(|e| 10f64.powf(e));
    let figures =
        (100..1000u32, low..=high).prop_map(|(m, e)| f64::from(m) * 10f64.powf(e.floor()));
    let decade = (low..=high, -1..=1i8).prop_map(|(e, side)| {
        let power = 10f64.powf(e.round());
        match side {
            -1 => power.next_down(),
            1 => power.next_up(),
            _ => power,
        }
    });
    let ends = proptest::sample::select(vec![least.max(1e-30), most, 0.0]);
    prop_oneof![4 => any, 4 => figures, 4 => decade, 1 => ends].prop_map(move |v| {
        if v == 0.0 {
            v
        } else {
            v.clamp(least.max(1e-30), most)
        }
    })
}

/// `exact` reads back to the bit; `Display` and `short` within their digits.
fn round_trip<Q: Quantity>(si: f64) -> Result<(), TestCaseError> {
    let quantity = Q::new(si);
    let exact = quantity.exact();
    let back = Q::parse(&exact).map_err(|e| TestCaseError::fail(e.to_string()))?;
    prop_assert_eq!(back.si().to_bits(), si.to_bits(), "{}", exact);
    for text in [
        quantity.to_string(),
        quantity.short(),
        format!("{quantity:+}"),
    ] {
        // Rounding to four digits may leave the range at its very ends.
        let Ok(back) = Q::parse(&text) else {
            let at_an_end =
                si.abs() <= Q::SPELLING.least * 1.001 || si.abs() >= Q::SPELLING.most * 0.999;
            prop_assert!(at_an_end, "{} of {}", text, si);
            continue;
        };
        // Half a unit of the fourth digit of 1.000.
        prop_assert!(
            (back.si() - si).abs() <= 0.500_001e-3 * si.abs(),
            "{} of {}",
            text,
            si
        );
        // Printing what was printed changes nothing.
        prop_assert_eq!(back.to_string(), quantity.to_string());
    }
    Ok(())
}

macro_rules! round_trips {
    ($($test:ident: $quantity:ty;)*) => {
        proptest! {
            #![proptest_config(ProptestConfig {
                failure_persistence: None,
                ..ProptestConfig::with_cases(2000)
            })]
            $(
                #[test]
                fn $test(
                    size in magnitude(<$quantity>::SPELLING.least, <$quantity>::SPELLING.most),
                    minus in any::<bool>(),
                ) {
                    let minus = minus && <$quantity>::SPELLING.signed && size > 0.0;
                    round_trip::<$quantity>(if minus { -size } else { size })?;
                }
            )*
        }
    };
}

round_trips! {
    ohms: Ohms;
    farads: Farads;
    henries: Henries;
    hertz: Hertz;
    volts: Volts;
    amperes: Amperes;
    ampere_hours: AmpereHours;
    seconds: Seconds;
    decibels: Decibels;
    wpm: Wpm;
    ratio: Ratio;
    slew: VoltsPerSecond;
    noise: VoltsPerRootHertz;
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

    /// Two routes: the letter for the point and the plain decimal are the same double.
    #[test]
    fn letter_and_point_agree(whole in 0..1000u32, fraction in 0..1000u32, digits in 1..4usize) {
        let fraction = format!("{fraction:03}")[..digits].to_owned();
        for (letter, prefix) in [("k", "k"), ("M", "M"), ("R", ""), ("G", "G")] {
            let lettered = Ohms::parse(&format!("{whole}{letter}{fraction}"));
            let pointed = Ohms::parse(&format!("{whole}.{fraction} {prefix}Ω"));
            prop_assert_eq!(lettered.ok(), pointed.ok());
        }
        for (letter, prefix) in [("n", "n"), ("µ", "u"), ("p", "P"), ("m", "m")] {
            let lettered = Farads::parse(&format!("{whole}{letter}{fraction}"));
            let pointed = Farads::parse(&format!("{whole},{fraction}0 {prefix}F"));
            if fraction.len() != 2 {
                prop_assert_eq!(lettered.ok(), pointed.ok());
            }
        }
    }

    /// Two routes: our reading of a plain number is the one of the language's own parser.
    #[test]
    fn plain_numbers_are_correctly_rounded(number in magnitude(1e-3, 1e15)) {
        for text in [format!("{number}"), format!("{number:e}"), format!("{number:.17e}")] {
            let read = Ohms::parse(&text).map_err(|e| TestCaseError::fail(e.to_string()))?;
            let plain: f64 = text.parse().map_err(|_| TestCaseError::fail(text.clone()))?;
            prop_assert_eq!(read.0.to_bits(), plain.to_bits(), "{}", text);
        }
    }
}
