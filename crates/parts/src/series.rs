//! Preferred values of IEC 60063:2015.
//!
//! E3, E6, E12 and E24 are tables of two figures (E24 departs from rounding `10^(i/24)`
//! in eight places for the sake of older usage). E48, E96 and E192 follow the rule
//! `round(100 · 10^(i/N))` with one exception: E192 at i = 185 prints 920, not 919.
//! Source: IEC 60063:2015 (lists E6 to E96 compared with a public page of them; E3 and
//! the exception from memory). Builders' 1 % kits hold E24 values with some E96, hence
//! the union of the two.
//!
//! Values are decimal and correctly rounded, so they equal what [`units`] reads from
//! `4k7` to the bit.

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use document::{Objection, nearest};
use units::{Quantity, Ratio};

/// A series of preferred values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// Three values a decade (50 %).
    E3,
    /// Six values a decade (20 %).
    E6,
    /// Twelve values a decade (10 %).
    E12,
    /// Twenty-four values a decade (5 %).
    E24,
    /// Forty-eight values a decade (2 %).
    E48,
    /// Ninety-six values a decade (1 %).
    E96,
    /// 192 values a decade (0.5 %).
    E192,
    /// E24 and E96 together, as in 1 % kits.
    E24AndE96,
}

/// The value is not within this relative distance of a member: neither is it one.
/// Wide enough for a few roundings, a million times narrower than any step.
const SAME: f64 = 1e-9;

static MANTISSAS: LazyLock<Vec<Vec<u16>>> =
    LazyLock::new(|| Series::ALL.iter().map(|s| s.compute()).collect());

const E24: [u16; 24] = [
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560,
    620, 680, 750, 820, 910,
];

impl Series {
    /// All series, coarsest first.
    pub const ALL: [Series; 8] = [
        Series::E3,
        Series::E6,
        Series::E12,
        Series::E24,
        Series::E48,
        Series::E96,
        Series::E192,
        Series::E24AndE96,
    ];

    /// The name as it is written (`E24+E96`).
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Series::E3 => "E3",
            Series::E6 => "E6",
            Series::E12 => "E12",
            Series::E24 => "E24",
            Series::E48 => "E48",
            Series::E96 => "E96",
            Series::E192 => "E192",
            Series::E24AndE96 => "E24+E96",
        }
    }

    /// The tolerance the series is made for (IEC 60063; more than 20 % for E3).
    #[must_use]
    pub fn tolerance(self) -> Ratio {
        Ratio(match self {
            Series::E3 => 0.5,
            Series::E6 => 0.2,
            Series::E12 => 0.1,
            Series::E24 => 0.05,
            Series::E48 => 0.02,
            Series::E96 | Series::E24AndE96 => 0.01,
            Series::E192 => 0.005,
        })
    }

    /// The values of one decade as three figures, 100 to 999, rising.
    #[must_use]
    pub fn mantissas(self) -> &'static [u16] {
        &MANTISSAS[self as usize]
    }

    fn compute(self) -> Vec<u16> {
        let every = |step: usize| E24.iter().copied().step_by(step).collect();
        match self {
            Series::E3 => every(8),
            Series::E6 => every(4),
            Series::E12 => every(2),
            Series::E24 => every(1),
            Series::E48 => by_rule(48),
            Series::E96 => by_rule(96),
            Series::E192 => by_rule(192),
            Series::E24AndE96 => {
                let mut both: Vec<u16> = E24.into_iter().chain(by_rule(96)).collect();
                both.sort_unstable();
                both.dedup();
                both
            }
        }
    }

    /// All values from `from` to `to`, both included, rising; none when `to < from`.
    ///
    /// # Panics
    /// When a bound is not a finite number above zero.
    #[must_use]
    pub fn values<Q: Quantity>(self, from: Q, to: Q) -> Vec<Q> {
        let (low, high) = (positive(from), positive(to));
        let mut place = self.at_or_below(low);
        if self.value(place) < low * (1.0 - SAME) {
            place += 1;
        }
        (place..)
            .map(|at| self.value(at))
            .take_while(|v| *v <= high * (1.0 + SAME))
            .map(Q::new)
            .collect()
    }

    /// The member nearest by ratio; of two equally near the lower.
    ///
    /// # Panics
    /// When the value is not a finite number above zero.
    #[must_use]
    pub fn nearest<Q: Quantity>(self, value: Q) -> Q {
        let x = positive(value);
        let place = self.at_or_below(x);
        let (below, above) = (self.value(place), self.value(place + 1));
        Q::new(if x / below <= above / x { below } else { above })
    }

    /// The greatest member below the value and the least above it; a member's
    /// neighbours are those on either side of it.
    ///
    /// # Panics
    /// When the value is not a finite number above zero.
    #[must_use]
    pub fn neighbours<Q: Quantity>(self, value: Q) -> (Q, Q) {
        let place = self.at_or_below(positive(value));
        let below = if self.contains(value) {
            place - 1
        } else {
            place
        };
        (Q::new(self.value(below)), Q::new(self.value(place + 1)))
    }

    /// Whether the value is a member (within a part in 10⁹).
    #[must_use]
    pub fn contains<Q: Quantity>(self, value: Q) -> bool {
        let x = value.si();
        x.is_finite() && x > 0.0 && (self.value(self.at_or_below(x)) / x - 1.0).abs() <= SAME
    }

    /// The place of the greatest member that is at most `x`, or the same within [`SAME`].
    /// Places count through all decades; place 0 is 100.
    fn at_or_below(self, x: f64) -> i64 {
        let per_decade = self.len();
        let decade = (x.log10().floor() as i64 - 2) * per_decade;
        // The logarithm may be off by a rounding, so begin one decade lower.
        let mut place = decade - per_decade;
        while self.value(place + 1) <= x * (1.0 + SAME) {
            place += 1;
        }
        place
    }

    fn len(self) -> i64 {
        self.mantissas().len() as i64
    }

    /// The value at a place, correctly rounded while its decade lies within 10^±22,
    /// where powers of ten are exact.
    fn value(self, place: i64) -> f64 {
        let mantissa = self.mantissas()[place.rem_euclid(self.len()) as usize];
        let exponent = place.div_euclid(self.len()) as i32;
        let power = 10f64.powi(exponent.abs());
        match exponent {
            0.. => f64::from(mantissa) * power,
            _ => f64::from(mantissa) / power,
        }
    }
}

fn by_rule(n: u16) -> Vec<u16> {
    (0..n)
        .map(|i| match (n, i) {
            (192, 185) => 920,
            _ => (100.0 * 10f64.powf(f64::from(i) / f64::from(n))).round() as u16,
        })
        .collect()
}

fn positive<Q: Quantity>(value: Q) -> f64 {
    let si = value.si();
    assert!(
        si.is_finite() && (1e-18..=1e18).contains(&si),
        "a preferred value is asked for near {si}, which is not between 1e-18 and 1e18"
    );
    si
}

impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Series {
    type Err = Objection;

    /// Reads `E24`, `e24` or `E24+E96` (also `E96+E24`, spaces allowed).
    fn from_str(text: &str) -> Result<Series, Objection> {
        let plain: String = text
            .to_uppercase()
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        if plain == "E96+E24" {
            return Ok(Series::E24AndE96);
        }
        let names = Series::ALL.map(Series::name);
        if let Some(found) = Series::ALL.into_iter().find(|s| s.name() == plain) {
            return Ok(found);
        }
        let meant = nearest(&plain, names).unwrap_or("E24");
        Err(Objection::new(
            format!("the series \"{text}\""),
            names.join(", "),
            format!("write \"{meant}\", or another of these"),
        ))
    }
}
