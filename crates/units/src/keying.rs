//! What a Morse speed means: the length of a dit and the number of elements a second.
//!
//! The standard word PARIS with the space after it lasts 50 units, and a dit is one unit [M1677]:
//! `dit = 60 s / (50 · wpm) = 1.2 s / wpm`. The keying speed is its inverse, in baud (dits a
//! second): `wpm / 1.2`. Exact.

use crate::{Seconds, Wpm};

impl Wpm {
    /// One dit.
    #[must_use]
    pub fn dit(self) -> Seconds {
        Seconds(1.2 / self.0)
    }

    /// Dits a second (Bd).
    #[must_use]
    pub fn baud(self) -> f64 {
        self.0 / 1.2
    }
}
