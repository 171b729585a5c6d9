//! One broken rule at one place.

use std::fmt;

/// Where and what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Complaint {
    /// Path from the root of the repository.
    path: String,
    /// Line from 1; 0 where the file as a whole is meant.
    line: usize,
    /// What was found and what to do.
    text: String,
}

impl Complaint {
    /// A complaint about a line of a file.
    pub(super) fn at(path: &str, line: usize, text: impl Into<String>) -> Self {
        Complaint {
            path: path.to_owned(),
            line,
            text: text.into(),
        }
    }

    /// A complaint about a file as a whole.
    pub(super) fn about(path: &str, text: impl Into<String>) -> Self {
        Complaint::at(path, 0, text)
    }
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.path, self.text),
            line => write!(f, "{}:{line}: {}", self.path, self.text),
        }
    }
}

/// For the tests of the checks: the tree draws exactly these complaints, each as shown but for
/// what follows the given beginning.
#[cfg(test)]
pub(super) fn assert_told(found: &[Complaint], beginnings: &[&str]) {
    let told: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), beginnings.len(), "{told:#?}");
    for (line, beginning) in told.iter().zip(beginnings) {
        assert!(
            line.starts_with(beginning),
            "{line}\nshould begin with\n{beginning}"
        );
    }
}
