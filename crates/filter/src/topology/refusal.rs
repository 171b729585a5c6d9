//! Why a topology, a set of parts or a supply cannot serve.

use std::fmt;

/// A design that cannot be made, and the reason with its figures in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// A lower-case fragment: what was found, what is allowed, what to do.
    pub why: String,
}

impl Refusal {
    /// A refusal for that reason.
    #[must_use]
    pub fn new(why: impl Into<String>) -> Self {
        Refusal { why: why.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for Refusal {}
