//! Why a use-case did nothing.

use document::Complaints;
use std::fmt;

/// Why a use-case did nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// The text of a file is wrong, at these places.
    Text(Complaints),
    /// The circuit can be read but not analysed: a sentence with what to mend.
    Circuit(String),
}

impl From<Complaints> for Refusal {
    fn from(complaints: Complaints) -> Self {
        Refusal::Text(complaints)
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::Text(complaints) => complaints.fmt(f),
            Refusal::Circuit(sentence) => f.write_str(sentence),
        }
    }
}

impl std::error::Error for Refusal {}
