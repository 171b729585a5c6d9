//! Preferred values against IEC 60063. Lists: E6, E12, E24, E48 and E96 read on a public
//! page of the standard's values; E3, the edition and the E192 exception from memory.

use parts::Series;
use proptest::prelude::*;
use units::{Farads, Ohms, Quantity};

const E48: [u16; 48] = [
    100, 105, 110, 115, 121, 127, 133, 140, 147, 154, 162, 169, 178, 187, 196, 205, 215, 226, 237,
    249, 261, 274, 287, 301, 316, 332, 348, 365, 383, 402, 422, 442, 464, 487, 511, 536, 562, 590,
    619, 649, 681, 715, 750, 787, 825, 866, 909, 953,
];
const E96_ONLY: [u16; 48] = [
    102, 107, 113, 118, 124, 130, 137, 143, 150, 158, 165, 174, 182, 191, 200, 210, 221, 232, 243,
    255, 267, 280, 294, 309, 324, 340, 357, 374, 392, 412, 432, 453, 475, 499, 523, 549, 576, 604,
    634, 665, 698, 732, 768, 806, 845, 887, 931, 976,
];

/// Published list (IEC 60063).
#[test]
fn the_lists_are_those_of_the_standard() {
    assert_eq!(Series::E3.mantissas(), [100, 220, 470]);
    assert_eq!(Series::E6.mantissas(), [100, 150, 220, 330, 470, 680]);
    assert_eq!(
        Series::E12.mantissas(),
        [100, 120, 150, 180, 220, 270, 330, 390, 470, 560, 680, 820]
    );
    assert_eq!(
        Series::E24.mantissas(),
        [
            100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470,
            510, 560, 620, 680, 750, 820, 910
        ]
    );
    assert_eq!(Series::E48.mantissas(), E48);
    let mut e96: Vec<u16> = E48.into_iter().chain(E96_ONLY).collect();
    e96.sort_unstable();
    assert_eq!(Series::E96.mantissas(), e96);
    assert_eq!(Series::E192.mantissas().len(), 192);
}

/// Published rule `round(100 · 10^(i/N))` (IEC 60063): E48 and E96 follow it everywhere, E192 but for
/// one value (memory), 920 printed where the rule gives 919.
#[test]
fn fine_series_follow_the_rule_but_for_one_value() {
    for (series, exceptions) in [
        (Series::E48, vec![]),
        (Series::E96, vec![]),
        (Series::E192, vec![(185, 919, 920)]),
    ] {
        let count = series.mantissas().len();
        let rule = |i: usize| (100.0 * 10f64.powf(i as f64 / count as f64)).round() as u16;
        let found: Vec<(usize, u16, u16)> = (0..count)
            .map(|i| (i, rule(i), series.mantissas()[i]))
            .filter(|(_, rule, printed)| rule != printed)
            .collect();
        assert_eq!(found, exceptions, "{series}");
    }
}

/// Published classes (public page): the tolerance that each series is made for.
#[test]
fn each_series_has_its_tolerance() {
    for (series, percent) in [
        (Series::E6, 20.0),
        (Series::E12, 10.0),
        (Series::E24, 5.0),
        (Series::E48, 2.0),
        (Series::E96, 1.0),
        (Series::E192, 0.5),
    ] {
        assert!((100.0 * series.tolerance().0 - percent).abs() < 1e-12);
    }
}

/// Published statement: subsets, and E24 not in E48 (IEC 60063).
#[test]
fn coarse_series_are_subsets_of_fine_ones() {
    let within = |a: Series, b: Series| a.mantissas().iter().all(|m| b.mantissas().contains(m));
    assert!(within(Series::E3, Series::E6));
    assert!(within(Series::E6, Series::E12));
    assert!(within(Series::E12, Series::E24));
    assert!(within(Series::E48, Series::E96));
    assert!(within(Series::E96, Series::E192));
    assert!(!within(Series::E24, Series::E48));
    assert!(within(Series::E24, Series::E24AndE96));
    assert!(within(Series::E96, Series::E24AndE96));
    // E24 and E96 share 100, 110, 130, 150, 200, 750 (counted from the lists).
    assert_eq!(Series::E24AndE96.mantissas().len(), 24 + 96 - 6);
}

/// Published statement: E24 departs from rounding in exactly eight places (memory).
#[test]
fn e24_departs_from_the_rule_in_eight_places() {
    let departures: Vec<(f64, u16)> = (0..24u8)
        .map(|i| (10.0 * 10f64.powf(f64::from(i) / 24.0)).round())
        .zip(Series::E24.mantissas().iter().map(|m| m / 10))
        .filter(|(rule, printed)| (rule - f64::from(*printed)).abs() > 0.5)
        .collect();
    let expected = [
        (26.0, 27),
        (29.0, 30),
        (32.0, 33),
        (35.0, 36),
        (38.0, 39),
        (42.0, 43),
        (46.0, 47),
        (83.0, 82),
    ];
    assert_eq!(departures, expected);
}

/// Closed form (b − a)/(b + a) over all steps; figures recomputed by hand from the lists.
#[test]
fn worst_rounding_error_of_each_series() {
    for (series, percent) in [
        (Series::E6, 20.0),
        (Series::E12, 11.11),
        (Series::E24, 7.14),
        (Series::E48, 2.59),
        (Series::E96, 1.48),
        (Series::E192, 0.97),
    ] {
        let values = series.values(Ohms(100.0), Ohms(1000.0));
        let worst = values
            .windows(2)
            .map(|w| 100.0 * (w[1].0 - w[0].0) / (w[1].0 + w[0].0))
            .fold(0.0, f64::max);
        assert!((worst - percent).abs() <= 0.006, "{series}: {worst}");
    }
}

#[test]
fn ranges_include_their_ends() {
    let values = Series::E6.values(Farads(1e-9), Farads(220e-9));
    assert_eq!(values.len(), 15);
    assert_eq!(values.first(), Some(&Farads(1e-9)));
    assert_eq!(values.last(), Some(&Farads(220e-9)));
    assert_eq!(Series::E12.values(Ohms(990.0), Ohms(999.0)), []);
    assert_eq!(Series::E12.values(Ohms(10.0), Ohms(9.0)), []);
    assert_eq!(Series::E24.values(Ohms(1e3), Ohms(1e6)).len(), 73);
}

#[test]
fn nearest_and_neighbours() {
    assert_eq!(Series::E12.nearest(Ohms(7957.7)), Ohms(8200.0));
    assert_eq!(Series::E96.nearest(Ohms(7957.7)), Ohms(7870.0));
    assert_eq!(Series::E96.nearest(Ohms(31_831.0)), Ohms(31_600.0));
    assert_eq!(Series::E96.nearest(Ohms(80.381)), Ohms(80.6));
    assert_eq!(
        Series::E24.neighbours(Ohms(4700.0)),
        (Ohms(4300.0), Ohms(5100.0))
    );
    assert_eq!(
        Series::E24.neighbours(Ohms(4800.0)),
        (Ohms(4700.0), Ohms(5100.0))
    );
    assert_eq!(
        Series::E24.neighbours(Ohms(1e3)),
        (Ohms(910.0), Ohms(1100.0))
    );
    assert!(Series::E24.contains(Ohms(4.7 * 1000.0)));
    assert!(!Series::E24.contains(Ohms(4750.0)));
    assert!(!Series::E24.contains(Ohms(0.0)));
}

#[test]
fn names_are_read_and_the_nearest_suggested() {
    for series in Series::ALL {
        assert_eq!(series.name().parse(), Ok(series));
        assert_eq!(series.name().to_lowercase().parse(), Ok(series));
    }
    assert_eq!("e96 + e24".parse(), Ok(Series::E24AndE96));
    let slip = "E25".parse::<Series>().expect_err("no such series");
    assert!(slip.allowed.contains("E24+E96"));
    assert!(slip.advice.contains("E24"), "{}", slip.advice);
}

fn any_series() -> impl Strategy<Value = Series> {
    proptest::sample::select(Series::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    /// Invariant: the nearest is a member, no other is nearer, neighbours enclose.
    #[test]
    fn nearest_is_nearest(series in any_series(), exponent in -12.0..9.0f64) {
        let x = 10f64.powf(exponent);
        let near = series.nearest(Ohms(x));
        let (below, above) = series.neighbours(Ohms(x));
        prop_assert!(series.contains(near));
        prop_assert!(below.0 < x && x < above.0);
        let off = |v: Ohms| (v.0 / x).ln().abs();
        prop_assert!(off(near) <= off(below) + 1e-12 && off(near) <= off(above) + 1e-12);
        prop_assert_eq!(series.nearest(near), near);
    }

    /// Round trip: a member printed and read is the same to the bit.
    #[test]
    fn members_are_what_their_text_reads(series in any_series(), exponent in -11.0..-3.0f64) {
        let member = series.nearest(Farads(10f64.powf(exponent)));
        let read = Farads::parse(&member.to_string()).expect("printed by us");
        prop_assert_eq!(read.0.to_bits(), member.0.to_bits());
    }

    /// Invariant: values() agrees with a filter over a wider list.
    #[test]
    fn ranges_agree_with_a_plain_filter(series in any_series(), a in -1.0..4.0f64, b in -1.0..4.0f64) {
        let (low, high) = (10f64.powf(a), 10f64.powf(b));
        let wide = series.values(Ohms(0.01), Ohms(1e5));
        let plain: Vec<Ohms> = wide.into_iter().filter(|v| v.0 >= low && v.0 <= high).collect();
        prop_assert_eq!(series.values(Ohms(low), Ohms(high)), plain);
    }
}
