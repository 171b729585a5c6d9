//! Decimal prefixes.
//!
//! Source: SI Brochure, 9th edition (2019), table 7; only those a filter builder meets.

/// A decimal prefix in engineering steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Prefix {
    /// `f`, 10⁻¹⁵ (op-amp current noise).
    Femto,
    /// `p`, 10⁻¹².
    Pico,
    /// `n`, 10⁻⁹.
    Nano,
    /// `µ`, 10⁻⁶.
    Micro,
    /// `m`, 10⁻³.
    Milli,
    /// No prefix.
    One,
    /// `k`, 10³.
    Kilo,
    /// `M`, 10⁶.
    Mega,
    /// `G`, 10⁹.
    Giga,
    /// `T`, 10¹².
    Tera,
}

impl Prefix {
    /// All prefixes, smallest first.
    pub const ALL: [Prefix; 10] = [
        Prefix::Femto,
        Prefix::Pico,
        Prefix::Nano,
        Prefix::Micro,
        Prefix::Milli,
        Prefix::One,
        Prefix::Kilo,
        Prefix::Mega,
        Prefix::Giga,
        Prefix::Tera,
    ];

    /// Power of ten.
    #[must_use]
    pub fn exponent(self) -> i32 {
        3 * (self as i32 - Prefix::One as i32)
    }

    /// The letter it is printed with; empty for none.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Prefix::Femto => "f",
            Prefix::Pico => "p",
            Prefix::Nano => "n",
            Prefix::Micro => "µ",
            Prefix::Milli => "m",
            Prefix::One => "",
            Prefix::Kilo => "k",
            Prefix::Mega => "M",
            Prefix::Giga => "G",
            Prefix::Tera => "T",
        }
    }

    /// The word (`milli`); empty for none.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Prefix::Femto => "femto",
            Prefix::Pico => "pico",
            Prefix::Nano => "nano",
            Prefix::Micro => "micro",
            Prefix::Milli => "milli",
            Prefix::One => "",
            Prefix::Kilo => "kilo",
            Prefix::Mega => "mega",
            Prefix::Giga => "giga",
            Prefix::Tera => "tera",
        }
    }

    /// The prefix a letter stands for. Only `m`/`M` differ by case; `f` is not taken
    /// in capitals because `F` is the farad.
    #[must_use]
    pub fn of_letter(letter: char) -> Option<Prefix> {
        Some(match letter {
            'f' => Prefix::Femto,
            'p' | 'P' => Prefix::Pico,
            'n' | 'N' => Prefix::Nano,
            'u' | 'U' | 'µ' | 'μ' => Prefix::Micro,
            'm' => Prefix::Milli,
            'k' | 'K' => Prefix::Kilo,
            'M' => Prefix::Mega,
            'G' => Prefix::Giga,
            'T' => Prefix::Tera,
            _ => return None,
        })
    }

    /// Splits a lower-case suffix into the word of a prefix (or its clipped form before
    /// a vowel, as in `kilohm` and `megohm`) and a unit, which `unit` gives meaning to.
    pub(crate) fn of_word<T>(lower: &str, unit: impl Fn(&str) -> Option<T>) -> Option<(Prefix, T)> {
        let clipped = [("kil", Prefix::Kilo), ("meg", Prefix::Mega)];
        let whole = Prefix::ALL
            .into_iter()
            .filter(|p| *p != Prefix::One)
            .map(|p| (p.word(), p));
        whole.chain(clipped).find_map(|(word, prefix)| {
            let rest = lower.strip_prefix(word)?.trim_start();
            Some((prefix, unit(rest)?))
        })
    }
}
