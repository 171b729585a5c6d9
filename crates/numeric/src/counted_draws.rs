//! Numbers drawn by their place: the same seed, round and place always give the same number,
//! whichever thread asks and in whichever order.
//!
//! Equation: three steps of the mixing function of SplitMix64 [STEELE2014, fig. 17; from memory],
//! one for the seed, one for the round and one for the place; the last is the place-th number of
//! the SplitMix64 stream that the first two start. That stream passes the batteries of tests in
//! use [STEELE2014]; the tests below hold rounds and places to chi-square, and neighbours to no
//! correlation. Good for statistics of 2⁴⁰ numbers; not for secrets.

use crate::SplitMix;

/// Draws of one seed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CountedDraws {
    seed: u64,
}

impl CountedDraws {
    /// The draws of that seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        let seed = SplitMix::new(seed).bits();
        CountedDraws { seed }
    }

    /// The number of that round and place: above 0 and under 1, evenly spread.
    #[must_use]
    pub fn unit(self, round: u64, place: u64) -> f64 {
        const STEP: u64 = 0x9E37_79B9_7F4A_7C15;
        let stream = SplitMix::new(self.seed ^ round).bits();
        let bits = SplitMix::new(stream.wrapping_add(place.wrapping_mul(STEP))).bits();
        ((bits >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }
}

#[cfg(test)]
mod tests {
    //! Order of trust: physical invariants of chance, at bounds stated before the run.
    use super::*;

    /// Chi-square over 256 cells, 255 degrees of freedom: mean 255, standard deviation 22.6; five
    /// of them either way (chance 1e-6).
    fn even(numbers: impl Iterator<Item = f64>) {
        let mut cells = [0_u32; 256];
        let mut count = 0.0;
        for x in numbers {
            assert!(x > 0.0 && x < 1.0);
            cells[(x * 256.0) as usize] += 1;
            count += 1.0;
        }
        let wanted = count / 256.0;
        let chi: f64 = cells
            .iter()
            .map(|&n| (f64::from(n) - wanted).powi(2) / wanted)
            .sum();
        assert!((chi - 255.0).abs() < 5.0 * 22.6, "chi-square {chi}");
    }

    #[test]
    fn rounds_places_and_seeds_are_evenly_spread() {
        let draws = CountedDraws::new(1);
        even((0..200_000).map(|round| draws.unit(round, 3)));
        even((0..200_000).map(|place| draws.unit(5, place)));
        even((0..200_000).map(|seed| CountedDraws::new(seed).unit(0, 0)));
    }

    /// Two numbers side by side, and the low halves of numbers, are as evenly spread as one.
    #[test]
    fn pairs_and_low_bits_are_evenly_spread() {
        let draws = CountedDraws::new(11);
        // The middle of one of 256 cells, sixteen by sixteen.
        let cell = |a: f64, b: f64| (16.0 * (16.0 * a).floor() + (16.0 * b).floor() + 0.5) / 256.0;
        even((0..200_000).map(|k| cell(draws.unit(k, 0), draws.unit(k, 1))));
        // What is left of a number once its first 24 bits are taken off.
        even((0..200_000).map(|k| (draws.unit(k, 2) * f64::from(1 << 24)).fract()));
    }

    /// Correlation of 200 000 pairs has a standard deviation of 1/√200000 = 0.0022; five of them.
    #[test]
    fn neighbours_are_not_alike() {
        let draws = CountedDraws::new(7);
        let correlation = |pair: &dyn Fn(u64) -> (f64, f64)| {
            let sum: f64 = (0..200_000)
                .map(pair)
                .map(|(a, b)| 12.0 * (a - 0.5) * (b - 0.5))
                .sum();
            sum / 200_000.0
        };
        let rounds = correlation(&|k| (draws.unit(k, 0), draws.unit(k + 1, 0)));
        let places = correlation(&|k| (draws.unit(k, 0), draws.unit(k, 1)));
        let crossed = correlation(&|k| (draws.unit(k, 1), draws.unit(k + 1, 0)));
        for found in [rounds, places, crossed] {
            assert!(found.abs() < 0.011, "{rounds} {places} {crossed}");
        }
    }
}
