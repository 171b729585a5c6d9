//! Printing an outcome, as text for people or as one JSON document.

use crate::exit::Exit;
use crate::trouble::Trouble;
use std::io::Write;
use workshop::{Finding, Severity};

/// Prints text, colours removed where the output is no terminal or `NO_COLOR` is set.
pub(crate) fn print(text: &str) -> Result<(), Trouble> {
    let mut out = anstream::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(Trouble::Output)
}

/// Prints exactly one JSON document; what is not a finite number becomes `null`.
pub(crate) fn print_json<T: serde::Serialize>(outcome: &T) -> Result<(), Trouble> {
    let mut text = serde_json::to_string_pretty(outcome).map_err(|e| Trouble::Output(e.into()))?;
    text.push('\n');
    print(&text)
}

/// How a run ends, given the findings and whether the user asked to be strict.
pub(crate) fn verdict<'f>(findings: impl IntoIterator<Item = &'f Finding>, strict: bool) -> Exit {
    let stands = findings
        .into_iter()
        .any(|f| f.severity == Severity::Problem);
    if strict && stands {
        Exit::ProblemStands
    } else {
        Exit::Done
    }
}
