//! A stream of numbers that is the same on every machine and in every version: SplitMix64.
//!
//! Equation: the state grows by 0x9E3779B97F4A7C15 and is mixed by two xor-shift-multiply steps
//! [STEELE2014, fig. 17; from memory]. Period 2⁶⁴. Good enough to choose test inputs with; not for
//! statistics.

/// The stream.
#[derive(Debug, Clone)]
pub struct Stream {
    state: u64,
}

impl Stream {
    /// The stream of that seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Stream { state: seed }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// The next number from 0 up to but not including 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// True with that probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// A whole number below `end`, which must not be 0.
    pub fn below(&mut self, end: usize) -> usize {
        assert!(end > 0, "nothing is below {end}");
        ((self.unit() * end as f64) as usize).min(end - 1)
    }

    /// One of the items; there must be one.
    pub fn pick<T: Copy>(&mut self, items: &[T]) -> T {
        items[self.below(items.len())]
    }

    /// Spread evenly between the two.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Spread evenly on a logarithmic scale between the two, which must be above zero.
    pub fn log_between(&mut self, low: f64, high: f64) -> f64 {
        assert!(low > 0.0 && high > 0.0, "{low} to {high}");
        low * (high / low).powf(self.unit())
    }
}

#[cfg(test)]
mod tests {
    use super::Stream;

    /// Published example: the first outputs of seed 1234567 (from memory of the reference
    /// implementation's test vector).
    #[test]
    fn the_reference_vector_comes_out() {
        let mut stream = Stream::new(1_234_567);
        let found = [stream.bits(), stream.bits(), stream.bits()];
        let wanted = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        assert_eq!(found, wanted);
    }

    #[test]
    fn numbers_stay_in_their_range() {
        let mut stream = Stream::new(3);
        for _ in 0..1000 {
            assert!((0.0..1.0).contains(&stream.unit()));
            assert!(stream.below(3) < 3);
            assert!((2.0..5.0).contains(&stream.between(2.0, 5.0)));
            assert!((1e-3..=1e3).contains(&stream.log_between(1e-3, 1e3)));
        }
    }
}
