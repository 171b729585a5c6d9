//! Numbers modulo a prime, where decimals and their reciprocals are exact.
//!
//! A double stands for the number somebody wrote: its shortest decimals `d·10^e` that read back as
//! the same double, or, for a conductance `1/R`, the reciprocal of such decimals. The residue is
//! that of the one with fewer digits: `d·10^e` modulo `p = 2⁶¹ − 1`, or the inverse of it. A number
//! with no short decimals either way (2π is in it) keeps its 17 digits. Either stands within
//! rounding of the double; equal doubles have equal residues, opposite ones opposite.

/// A Mersenne prime: products reduce by shifts.
pub(super) const PRIME: u64 = (1 << 61) - 1;
/// Digits of a number that was written; one more is met by chance once in a hundred doubles.
const WRITTEN_DIGITS: usize = 15;

/// The residue of the number that a finite double stands for.
pub(super) fn of_written(value: f64) -> u64 {
    if value == 0.0 {
        return 0;
    }
    let size = value.abs();
    let direct = Decimals::shortest(size);
    let residue = match Decimals::of_reciprocal(size) {
        Some(under) if under.digits() < direct.digits() => inverse(under.residue()),
        _ => direct.residue(),
    };
    if value < 0.0 {
        PRIME - residue
    } else {
        residue
    }
}

/// The inverse of a residue other than 0.
pub(super) fn inverse(residue: u64) -> u64 {
    power(residue, PRIME - 2)
}

/// `whole · 10^exponent`, `whole` without trailing zeros.
struct Decimals {
    whole: u64,
    exponent: i32,
}

impl Decimals {
    /// The shortest that read back as `size`.
    fn shortest(size: f64) -> Self {
        Self::read(&format!("{size:e}"))
    }

    /// Those of `1/size` to [`WRITTEN_DIGITS`], if `size` is what their reciprocal rounds to.
    fn of_reciprocal(size: f64) -> Option<Self> {
        let text = format!("{:.*e}", WRITTEN_DIGITS - 1, 1.0 / size);
        let back: f64 = text.parse().ok()?;
        ((1.0 / back).to_bits() == size.to_bits()).then(|| Self::read(&text))
    }

    /// From `d.ddde±x`, at most 17 digits.
    fn read(text: &str) -> Self {
        let (mantissa, exponent) = text.split_once('e').unwrap_or((text, "0"));
        let (head, tail) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let tail = tail.trim_end_matches('0');
        let number = |digits: &str| digits.parse::<u64>().unwrap_or(0);
        let ten = 10_u64.pow(tail.len() as u32);
        Decimals {
            whole: number(head) * ten + number(tail),
            exponent: exponent.parse::<i32>().unwrap_or(0) - tail.len() as i32,
        }
    }

    fn digits(&self) -> u32 {
        self.whole.checked_ilog10().map_or(0, |log| log + 1)
    }

    fn residue(&self) -> u64 {
        let ten = power(10, u64::from(self.exponent.unsigned_abs()));
        let scale = if self.exponent < 0 { inverse(ten) } else { ten };
        times(self.whole, scale)
    }
}

/// Sum of two residues.
pub(super) fn plus(a: u64, b: u64) -> u64 {
    let sum = a + b;
    if sum >= PRIME { sum - PRIME } else { sum }
}

/// Product of two residues.
pub(super) fn times(a: u64, b: u64) -> u64 {
    let product = u128::from(a) * u128::from(b);
    let low = (product & u128::from(PRIME)) as u64;
    plus(low, (product >> 61) as u64)
}

/// A residue to a power.
pub(super) fn power(mut base: u64, mut exponent: u64) -> u64 {
    let mut product = 1;
    while exponent > 0 {
        if exponent & 1 == 1 {
            product = times(product, base);
        }
        base = times(base, base);
        exponent >>= 1;
    }
    product
}

#[cfg(test)]
mod tests {
    //! Order of trust: closed form.
    use super::*;

    /// Sums, products and quotients that are exact in decimals are so in residues, though no
    /// double here is exact.
    #[test]
    fn decimals_and_conductances_are_exact() {
        assert_eq!(plus(of_written(0.1), of_written(0.2)), of_written(0.3));
        assert_eq!(times(of_written(1.2e-9), of_written(1e9)), of_written(1.2));
        for ohms in [1e3, 3.3e3, 4.7e3, 4.99e3, 8.2e5, 1.43e6, 1e12] {
            let product = times(of_written(1.0 / ohms), of_written(ohms));
            assert_eq!(product, 1, "{ohms}");
        }
        let parallel = plus(of_written(1.0 / 3e3), of_written(1.0 / 6e3));
        assert_eq!(parallel, of_written(1.0 / 2e3));
        assert_eq!(plus(of_written(-1.0 / 7e3), of_written(1.0 / 7e3)), 0);
        assert_eq!(times(of_written(1.0), of_written(17.0)), 17);
    }

    /// Numbers nobody wrote have residues of their own, the least and greatest doubles too.
    #[test]
    fn every_double_has_a_residue() {
        let tau = std::f64::consts::TAU;
        let awkward = [
            tau,
            tau.recip(),
            tau.next_up(),
            1.0 / 3.0,
            f64::MIN_POSITIVE,
            f64::MAX,
            5e-324,
        ];
        for (k, &value) in awkward.iter().enumerate() {
            let residue = of_written(value);
            assert!(residue > 0 && residue < PRIME);
            assert_eq!(plus(residue, of_written(-value)), 0);
            let others = awkward.iter().take(k);
            assert!(
                others.into_iter().all(|&o| of_written(o) != residue),
                "{value}"
            );
        }
    }
}
