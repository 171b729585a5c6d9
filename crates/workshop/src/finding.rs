//! One shortcoming of a circuit, told so that a builder can act on it.

use serde::Serialize;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Better mended before building.
    Caution,
    /// The circuit will not do what was asked, or may do harm.
    Problem,
}

/// One finding: what was found, why it matters, what to do, and on whose word.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stable name, the file in `findings/` that made it.
    pub id: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What was found, with the numbers.
    pub text: String,
    /// Why it matters.
    pub why: String,
    /// What to do about it.
    #[serde(rename = "do")]
    pub remedy: String,
    /// Where the rule comes from.
    pub source: &'static str,
}
