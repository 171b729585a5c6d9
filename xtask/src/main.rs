//! Chores of the repository: `cargo xtask help` lists them.
//!
//! `ci` is the whole of what the build machine runs; the others are its steps or longer versions
//! of them. A chore prints what it does and exits 0 only when everything it ran was good.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a chore talks to the terminal it was started from"
)]

mod bench;
mod ci;
mod command;
mod contest;
mod fuzz;
mod oracle;
mod process;
mod python;
mod tally;
mod tidy;
mod trouble;

use command::Command;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use trouble::Trouble;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match Command::parse(&words).and_then(|command| run(&command)) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(trouble) => {
            eprintln!("xtask: {trouble}");
            ExitCode::from(2)
        }
    }
}

/// Runs one chore; `Ok(false)` says that it ran and found something wrong.
fn run(command: &Command) -> Result<bool, Trouble> {
    let root = root();
    match command {
        Command::Help => {
            print!("{}", command::HELP);
            Ok(true)
        }
        Command::Ci => ci::run(&root),
        Command::Tidy { remarks } => tidy::run(&root, *remarks),
        Command::Oracle { rest } => oracle::run(&root, rest).map(|tally| tally.good()),
        Command::Fuzz { runs } => fuzz::run(&root, *runs),
        Command::Bench { filter } => bench::run(&root, filter.as_deref()),
    }
}

/// The folder of the workspace: the one above this crate's.
fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}
