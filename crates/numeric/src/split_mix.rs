//! A stream of numbers that is the same on every machine and in every version: SplitMix64.
//!
//! Equation: the state grows by 0x9E3779B97F4A7C15 and is mixed by two xor-shift-multiply steps
//! [STEELE2014, fig. 17; from memory]. Period 2⁶⁴. Good enough to scatter the starts of a search
//! and to choose test inputs with; trials by chance draw from [`crate::CountedDraws`].

/// The stream.
#[derive(Debug, Clone)]
pub struct SplitMix {
    state: u64,
}

impl SplitMix {
    /// The stream of that seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
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
}

#[cfg(test)]
mod tests {
    use super::SplitMix;

    /// Published example: the first outputs of seed 1234567 (from memory of the reference
    /// implementation's test vector).
    #[test]
    fn the_reference_vector_comes_out() {
        let mut stream = SplitMix::new(1_234_567);
        let found = [stream.bits(), stream.bits(), stream.bits()];
        let wanted = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        assert_eq!(found, wanted);
    }
}
