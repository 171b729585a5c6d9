//! `narrows spread`: what the tolerances of real parts do to one circuit, and what to do about it.

use crate::exit::Exit;
use crate::options::{alike, celsius, pitch, speed, trials};
use crate::output;
use crate::progress::Progress;
use crate::text;
use crate::trouble::Trouble;
use crate::world;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use units::{Hertz, Wpm};
use workshop::spread::{Law, SpreadRequest, spread};

/// Arguments of `narrows spread`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/spread.txt"))]
pub(super) struct Arguments {
    /// The circuit, a file of format "narrows circuit 1"
    #[arg(value_name = "CIRCUIT.toml")]
    circuit: PathBuf,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// How many boxes to build on paper: ten thousand give the yield to one point
    #[arg(long, value_name = "COUNT", default_value = "5000", value_parser = trials)]
    trials: u64,
    /// Which luck: the same number builds the same boxes again
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// How resistors lie within their tolerance; left out, normal up to 2 % and uniform above
    #[arg(long, value_enum, value_name = "LAW")]
    resistors: Option<PartLaw>,
    /// How capacitors lie within their tolerance; left out, uniform
    #[arg(long, value_enum, value_name = "LAW")]
    capacitors: Option<PartLaw>,
    /// How alike parts of one kind and value are, since they come from one bag: 0 not at all, 1 a
    /// matched set; left out, 0.5
    #[arg(long, value_name = "SHARE", value_parser = alike)]
    alike: Option<f64>,
    /// The coldest room it is used in, °C
    #[arg(long, value_name = "CELSIUS", default_value = "15", value_parser = celsius, allow_hyphen_values = true)]
    cold: f64,
    /// The warmest
    #[arg(long, value_name = "CELSIUS", default_value = "35", value_parser = celsius, allow_hyphen_values = true)]
    warm: f64,
    /// The pitch to judge by, instead of the file's own: 700 or "700 Hz"
    #[arg(long, value_name = "FREQUENCY", value_parser = pitch)]
    pitch: Option<Hertz>,
    /// The speed to judge ringing at, instead of the file's own: 25 or "25 wpm"
    #[arg(long, value_name = "WPM", value_parser = speed)]
    speed: Option<Wpm>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PartLaw {
    /// Anywhere in the tolerance
    Uniform,
    /// About the printed value, the tolerance being three standard deviations
    Normal,
    /// The inner half of the tolerance was taken out and sold as better ones
    SortedOut,
}

impl From<PartLaw> for Law {
    fn from(law: PartLaw) -> Law {
        match law {
            PartLaw::Uniform => Law::Uniform,
            PartLaw::Normal => Law::Normal,
            PartLaw::SortedOut => Law::SortedOut,
        }
    }
}

/// Reads the circuit, tries builds of it, prints what became of them.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let request = SpreadRequest {
        name: arguments.circuit.display().to_string(),
        text: world::read_text(&arguments.circuit).map_err(Trouble::Read)?,
        pitch: arguments.pitch,
        speed: arguments.speed,
        trials: arguments.trials,
        seed: arguments.seed,
        resistors: arguments.resistors.map(Law::from),
        capacitors: arguments.capacitors.map(Law::from),
        alike: arguments.alike,
        room_c: Some((arguments.cold, arguments.warm)),
    };
    let mut progress = Progress::of("builds", arguments.trials);
    let report = spread(&request, |done| progress.at(done)).map_err(Trouble::Refused);
    progress.clear();
    let report = report?;
    if arguments.json {
        output::print_json(&report)?;
    } else {
        output::print(&text::spread(&report))?;
    }
    Ok(Exit::Done)
}
