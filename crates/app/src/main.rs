//! The `narrows` binary: the only crate that touches files, the terminal and the clock.

mod cli;
mod exit;
mod options;
mod output;
mod paperwork;
mod progress;
mod text;
mod trouble;
mod world;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run().into()
}
