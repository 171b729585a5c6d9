//! What the exit code of the program means: decided here and nowhere else.

use std::process::ExitCode;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// Done.
    Done,
    /// Done, but a finding of severity `problem` stands (only with `--strict`).
    ProblemStands,
    /// The input is wrong; nothing was written.
    InputWrong,
    /// The program or the machine failed.
    WeFailed,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(match exit {
            Exit::Done => 0,
            Exit::ProblemStands => 1,
            Exit::InputWrong => 2,
            Exit::WeFailed => 3,
        })
    }
}
