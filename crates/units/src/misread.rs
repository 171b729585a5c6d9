//! What could not be read, and what to write instead.

use std::fmt;
use std::ops::Range;

/// A text that is not the quantity asked for.
///
/// Every field is a lower-case fragment without a full stop, fit for a terminal,
/// a page and a sheet alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// The whole text as it was given.
    pub text: String,
    /// The bytes of `text` that are at fault; empty at the end where something is missing.
    pub span: Range<usize>,
    /// What stands there (`the prefix "m" (milli) on a resistance`).
    pub found: String,
    /// What may stand there (`a resistance such as 4k7, 4.7 kΩ …`).
    pub allowed: String,
    /// What to do about it (`write 10 MΩ for mega …`).
    pub advice: String,
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "\"{}\": found {}; allowed: {}; {}",
            self.text, self.found, self.allowed, self.advice
        )
    }
}

impl std::error::Error for Misread {}
