//! Why a chore could not run at all, as opposed to running and finding something wrong.

use std::fmt;

/// What kept a chore from running.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The words after `cargo xtask` mean nothing.
    Words {
        /// What was typed.
        found: String,
    },
    /// A program could not be started.
    Start {
        /// The program.
        program: String,
        /// What the system said.
        why: std::io::Error,
    },
    /// A program ran and failed where the chore cannot go on without it.
    Failed {
        /// The program with its arguments.
        program: String,
        /// What to do about it.
        advice: String,
    },
    /// A file or folder could not be read or written.
    File {
        /// Its path.
        path: String,
        /// What the system said.
        why: std::io::Error,
    },
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::Words { found } => write!(
                f,
                "`{found}` is no chore; `cargo xtask help` lists what there is"
            ),
            Trouble::Start { program, why } => write!(
                f,
                "could not start `{program}`: {why}; is it installed and on the PATH?"
            ),
            Trouble::Failed { program, advice } => write!(f, "`{program}` failed; {advice}"),
            Trouble::File { path, why } => write!(f, "{path}: {why}"),
        }
    }
}
