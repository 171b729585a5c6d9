//! No text makes the reader panic, and what it says of a text holds.
//!
//! 20 000 inputs a run; `NARROWS_FUZZ_RUNS` asks for more. The corpus is ours.

use testkit::fuzz;
use units::{
    AmpereHours, Amperes, AmperesPerRootHertz, Decibels, DecibelsPerMilliwatt, Farads, Henries,
    Hertz, Ohms, Quantity, Ratio, Seconds, Volts, VoltsPerRootHertz, VoltsPerSecond, Wpm,
};

/// A refusal points into the text and says three things; what is read is finite, in range,
/// and its exact text reads back to the same bits.
fn check<Q: Quantity>(text: &str) {
    match Q::parse(text) {
        Ok(quantity) => {
            let (si, spelling) = (quantity.si(), Q::SPELLING);
            let size = si.abs();
            let in_range = size == 0.0 || (spelling.least..=spelling.most).contains(&size);
            assert!(in_range && (si >= 0.0 || spelling.signed), "{si}");
            let exact = quantity.exact();
            let back = Q::parse(&exact).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(back.si().to_bits(), si.to_bits(), "{exact}");
            assert!(!quantity.short().is_empty() && !quantity.to_string().is_empty());
        }
        Err(misread) => {
            assert_eq!(misread.text, text);
            assert!(text.get(misread.span.clone()).is_some(), "{misread:?}");
            for words in [&misread.found, &misread.allowed, &misread.advice] {
                assert!(!words.trim().is_empty(), "{misread:?}");
            }
        }
    }
}

fn check_all(text: &str) {
    check::<Ohms>(text);
    check::<Farads>(text);
    check::<Henries>(text);
    check::<Hertz>(text);
    check::<Volts>(text);
    check::<Amperes>(text);
    check::<AmpereHours>(text);
    check::<Seconds>(text);
    check::<Decibels>(text);
    check::<DecibelsPerMilliwatt>(text);
    check::<Wpm>(text);
    check::<Ratio>(text);
    check::<VoltsPerSecond>(text);
    check::<VoltsPerRootHertz>(text);
    check::<AmperesPerRootHertz>(text);
}

#[test]
fn fuzz_values() {
    let corpus: Vec<&str> = include_str!("corpus/values.txt").lines().collect();
    fuzz(0x1a1, 20_000, &corpus, check_all);
}
