//! Everything that ends a run early, told on standard error with its exit code.

use crate::exit::Exit;
use crate::world::{ReadFailure, WriteFailure};
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::io::{self, Write};
use workshop::{Complaint, Complaints, Refusal};

/// What ended the run.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// A file could not be read.
    Read(ReadFailure),
    /// A use-case refused its input.
    Refused(Refusal),
    /// A file could not be written.
    Write(WriteFailure),
    /// Standard output failed.
    Output(io::Error),
}

impl Trouble {
    /// Prints what happened to standard error and says how the run ends.
    pub(crate) fn tell(self) -> Exit {
        let (text, exit) = match self {
            Trouble::Read(failure) => (plain(&failure.to_string()), Exit::InputWrong),
            Trouble::Refused(Refusal::Text(complaints)) => (pointed(&complaints), Exit::InputWrong),
            Trouble::Refused(Refusal::Circuit(sentence)) => (plain(&sentence), Exit::InputWrong),
            Trouble::Write(failure) if failure.place_is_wrong() => {
                (plain(&failure.to_string()), Exit::InputWrong)
            }
            Trouble::Write(failure) => (plain(&failure.to_string()), Exit::WeFailed),
            // The reader went away (a closed pipe): nothing to tell, and no failure of ours.
            Trouble::Output(e) if e.kind() == io::ErrorKind::BrokenPipe => return Exit::Done,
            Trouble::Output(e) => (
                plain(&format!("the output cannot be written: {e}")),
                Exit::WeFailed,
            ),
        };
        // With standard error gone there is no one left to tell.
        let _ = anstream::stderr().lock().write_all(text.as_bytes());
        exit
    }
}

fn plain(sentence: &str) -> String {
    let report = [Level::ERROR
        .primary_title(sentence)
        .elements([] as [Snippet<'_, annotate_snippets::Annotation<'_>>; 0])];
    format!("{}\n", Renderer::styled().render(&report))
}

/// Every complaint with its line and a caret under what was found.
fn pointed(complaints: &Complaints) -> String {
    let mut out = String::new();
    for complaint in complaints.list() {
        out.push_str(&one(complaints, complaint));
        out.push('\n');
    }
    out
}

fn one(complaints: &Complaints, complaint: &Complaint) -> String {
    let title = format!("found {}", complaint.found);
    let snippet = Snippet::source(complaints.text())
        .path(complaints.name())
        .annotation(
            AnnotationKind::Primary
                .span(complaint.span.clone())
                .label(&complaint.allowed),
        );
    let report = [Level::ERROR
        .primary_title(&title)
        .element(snippet)
        .element(Level::HELP.message(&complaint.advice))];
    Renderer::styled().render(&report)
}
