//! What a test draws from a seeded stream of numbers.

use numeric::SplitMix;

/// The stream.
#[derive(Debug, Clone)]
pub struct Stream {
    numbers: SplitMix,
}

impl Stream {
    /// The stream of that seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Stream {
            numbers: SplitMix::new(seed),
        }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.numbers.bits()
    }

    /// The next number from 0 up to but not including 1.
    pub fn unit(&mut self) -> f64 {
        self.numbers.unit()
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
