//! `narrows sheet`: the printable build sheet of one circuit.

use crate::exit::Exit;
use crate::options::{pitch, speed};
use crate::output;
use crate::trouble::Trouble;
use crate::world;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use units::{Hertz, Wpm};
use workshop::sheet::{SheetRequest, Symbols, sheet};

/// Arguments of `narrows sheet`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/sheet.txt"))]
pub(super) struct Arguments {
    /// The circuit, a file of format "narrows circuit 1"
    #[arg(value_name = "CIRCUIT.toml")]
    circuit: PathBuf,
    /// Folder that receives sheet.html, parts.csv and schematic.svg; without it the sheet goes to standard output
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Which standard's symbols the schematic uses
    #[arg(long, value_enum, default_value_t = SymbolStandard::Iec)]
    symbols: SymbolStandard,
    /// The pitch to judge by, instead of the file's own: 700 or "700 Hz"
    #[arg(long, value_name = "FREQUENCY", value_parser = pitch)]
    pitch: Option<Hertz>,
    /// The speed to judge ringing at, instead of the file's own: 25 or "25 wpm"
    #[arg(long, value_name = "WPM", value_parser = speed)]
    speed: Option<Wpm>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SymbolStandard {
    /// IEC 60617: a resistor is a rectangle
    Iec,
    /// IEEE 315: a resistor is a zigzag
    Ieee,
}

/// Reads the circuit, makes the sheet, writes or prints it.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let request = SheetRequest {
        name: arguments.circuit.display().to_string(),
        text: world::read_text(&arguments.circuit).map_err(Trouble::Read)?,
        pitch: arguments.pitch,
        speed: arguments.speed,
        symbols: match arguments.symbols {
            SymbolStandard::Iec => Symbols::Iec60617,
            SymbolStandard::Ieee => Symbols::Ieee315,
        },
    };
    let outcome = sheet(&request).map_err(Trouble::Refused)?;
    match &arguments.out {
        Some(folder) => world::write_all(folder, &outcome.files).map_err(Trouble::Write)?,
        None => output::print(&outcome.html)?,
    }
    Ok(Exit::Done)
}
