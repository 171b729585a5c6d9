//! The command line: one file a command, named as in every other layer.

mod check;
mod plan;
mod retune;
mod sheet;
mod spread;
mod stock;

use crate::exit::Exit;
use crate::paperwork;
use crate::trouble::Trouble;
use clap::{Parser, Subcommand};

/// Plan, check and draw small op-amp audio filters for Morse by ear.
#[derive(Debug, Parser)]
#[command(
    name = "narrows",
    version,
    about = "A small op-amp audio filter for Morse by ear: planned, checked and drawn for the bench",
    after_help = "Exit codes: 0 done; 1 done, but a problem stands (with --strict); \
                  2 the input is wrong, nothing was written; 3 the program or the machine failed.\n\
                  Every command has a worked session under --help."
)]
pub(crate) struct Narrows {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// From a need to ranked circuits of real parts
    Plan(plan::Arguments),
    /// Everything about one circuit
    Check(check::Arguments),
    /// The printable build sheet of one circuit
    Sheet(sheet::Arguments),
    /// What is in the drawer, what is doubtful about it, and changes to its file
    ///
    /// Changes are written into the file itself; its version before is kept beside it, as
    /// DRAWER.csv.prev.
    Stock(stock::Arguments),
    /// The fewest swaps to another pitch, width or gain, or a trim
    Retune(retune::Arguments),
    /// What real parts do to one circuit: yield, shares, and what to match, measure or trim
    Spread(spread::Arguments),
    /// Shell completions and manual pages
    #[command(hide = true)]
    Paperwork(paperwork::Arguments),
}

/// Parses the command line, runs the command, and says how it ended.
pub(crate) fn run() -> Exit {
    let outcome = match Narrows::parse().command {
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Sheet(arguments) => sheet::run(&arguments),
        Command::Stock(arguments) => stock::run(&arguments),
        Command::Retune(arguments) => retune::run(&arguments),
        Command::Spread(arguments) => spread::run(&arguments),
        Command::Paperwork(arguments) => paperwork::run(&arguments),
    };
    outcome.unwrap_or_else(|trouble: Trouble| trouble.tell())
}
