//! Why a topology, a set of parts or a supply cannot serve.

use super::Cause;
use std::fmt;

/// A design that cannot be made, and the reason with its figures in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What would have to change.
    pub cause: Cause,
    /// A lower-case fragment: what was found, what is allowed, what to do.
    pub why: String,
}

impl Refusal {
    /// A refusal for that reason.
    #[must_use]
    pub fn new(cause: Cause, why: impl Into<String>) -> Self {
        let why = why.into();
        Refusal { cause, why }
    }

    /// Of the refusals of several stages of one design, the one that has to be mended for all of
    /// them: what no faster op-amp mends, else the stage that wants the fastest.
    pub(crate) fn gravest(refusals: impl IntoIterator<Item = Refusal>) -> Option<Refusal> {
        let speed = |r: &Refusal| match r.cause {
            Cause::Speed { wanted } => wanted.0,
            _ => f64::INFINITY,
        };
        // The first of equals.
        let graver = |a: Refusal, b: Refusal| if speed(&b) > speed(&a) { b } else { a };
        refusals.into_iter().reduce(graver)
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for Refusal {}
