//! Doubts. Sources: the thousandfold slip is a board that was really built (220 pF for
//! 220 nF); the frequency-setting ranges are those of [OAFE, §16.8.3] and common practice.

use parts::{PartValue, Place, Series, suspicion};
use proptest::prelude::*;
use units::{Farads, Henries, Ohms, Quantity};

const EVERYWHERE: [Option<Place>; 4] = [
    None,
    Some(Place::FrequencySetting),
    Some(Place::Coupling),
    Some(Place::Decoupling),
];

fn farads(text: &str) -> PartValue {
    PartValue::Capacitance(Farads::parse(text).expect("ours"))
}

fn ohms(text: &str) -> PartValue {
    PartValue::Resistance(Ohms::parse(text).expect("ours"))
}

#[test]
fn a_thousandfold_slip_is_suspected_aloud() {
    let setting = Some(Place::FrequencySetting);
    for (value, instead) in [
        (farads("220p"), farads("220n")),
        (farads("10 µF"), farads("10n")),
        (ohms("4R7"), ohms("4k7")),
        (ohms("10M"), ohms("10k")),
        (
            PartValue::Inductance(Henries(88e-6)),
            PartValue::Inductance(Henries(88e-3)),
        ),
    ] {
        let doubt = suspicion(value, setting).expect("out of the ordinary");
        let meant = doubt.instead.expect("a thousand times away").si();
        assert!((meant / instead.si() - 1.0).abs() < 1e-12, "{doubt}");
    }
    assert_eq!(
        suspicion(farads("220p"), setting)
            .expect("a doubt")
            .to_string(),
        "220 pF is out of the ordinary in a frequency-setting place (1 nF to 1 µF); \
         was 220 nF meant, a thousand times more?"
    );
    let decoupling = suspicion(farads("100p"), Some(Place::Decoupling)).expect("a doubt");
    assert_eq!(
        decoupling.instead.map(|v| v.to_string()).as_deref(),
        Some("100 nF")
    );
}

/// Published guidance [OAFE, §16.8.3]: resistors from 1 kΩ, capacitors from 1 nF where they set a
/// frequency; upper bounds are common practice (the source says 100 kΩ, which 1 MΩ of low-bias
/// amplifiers outgrew).
#[test]
fn the_guidance_bounds_what_is_ordinary() {
    let setting = Some(Place::FrequencySetting);
    for (ordinary, doubted) in [
        (ohms("1k"), ohms("910")),
        (ohms("100k"), ohms("1M1")),
        (farads("1n"), farads("910p")),
        (farads("1u"), farads("1.1u")),
    ] {
        assert_eq!(suspicion(ordinary, setting), None, "{ordinary}");
        assert!(suspicion(doubted, setting).is_some(), "{doubted}");
    }
}

#[test]
fn ordinary_values_are_not_doubted() {
    let setting = Some(Place::FrequencySetting);
    for text in ["1k", "2k3", "113.7k", "1M"] {
        assert_eq!(suspicion(ohms(text), setting), None, "{text}");
    }
    for text in ["1n", "10n", "100n", "1u"] {
        assert_eq!(suspicion(farads(text), setting), None, "{text}");
    }
    assert_eq!(suspicion(farads("100 µF"), Some(Place::Decoupling)), None);
    assert_eq!(suspicion(farads("22p"), None), None);
    for nonsense in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            suspicion(PartValue::Capacitance(Farads(nonsense)), setting),
            None
        );
    }
    // Out of the ordinary, and no thousandfold reading would be better.
    let doubt = suspicion(ohms("0.001"), setting).expect("a doubt");
    assert_eq!(doubt.instead, None);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    /// Invariant: what is suggested is itself ordinary, and a thousand times away.
    #[test]
    fn suggestions_are_ordinary(exponent in -12.0..1.0f64, place in proptest::sample::select(EVERYWHERE.to_vec())) {
        let value = PartValue::Capacitance(Series::E24.nearest(Farads(10f64.powf(exponent))));
        let Some(doubt) = suspicion(value, place) else {
            return Ok(());
        };
        prop_assert!(doubt.ordinary.0.si() > value.si() * 1.000_001 || doubt.ordinary.1.si() < value.si());
        if let Some(instead) = doubt.instead {
            prop_assert_eq!(suspicion(instead, place), None);
            let factor = (instead.si() / value.si()).log10().abs();
            prop_assert!((factor - 3.0).abs() < 1e-9);
        }
    }
}
