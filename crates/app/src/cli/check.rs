//! `narrows check`: everything about one circuit.

use crate::exit::Exit;
use crate::options::{Frequencies, frequencies, pitch, speed};
use crate::output;
use crate::text;
use crate::trouble::Trouble;
use crate::world;
use clap::Args;
use std::path::PathBuf;
use units::{Hertz, Wpm};
use workshop::check::{CheckRequest, check};

/// Arguments of `narrows check`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/check.txt"))]
pub(super) struct Arguments {
    /// The circuit, a file of format "narrows circuit 1"
    #[arg(value_name = "CIRCUIT.toml")]
    circuit: PathBuf,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// End with exit code 1 when a finding of severity "problem" stands
    #[arg(long)]
    strict: bool,
    /// Tabulate the response at exactly these frequencies: 500,650Hz,1k
    #[arg(long, value_name = "LIST", value_parser = frequencies)]
    at: Option<Frequencies>,
    /// The pitch to judge by, instead of the file's own: 700 or "700 Hz"
    #[arg(long, value_name = "FREQUENCY", value_parser = pitch)]
    pitch: Option<Hertz>,
    /// The speed to judge ringing at, instead of the file's own: 25 or "25 wpm"
    #[arg(long, value_name = "WPM", value_parser = speed)]
    speed: Option<Wpm>,
}

/// Reads the circuit, checks it, prints the outcome.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let circuit_text = world::read_text(&arguments.circuit).map_err(Trouble::Read)?;
    let request = CheckRequest {
        name: arguments.circuit.display().to_string(),
        text: circuit_text,
        pitch: arguments.pitch,
        speed: arguments.speed,
        at: arguments.at.as_ref().map(|f| f.0.clone()),
    };
    let report = check(&request).map_err(Trouble::Refused)?;
    if arguments.json {
        output::print_json(&report)?;
    } else {
        output::print(&text::check(&report, arguments.at.is_some()))?;
    }
    Ok(output::verdict(&report.findings, arguments.strict))
}
