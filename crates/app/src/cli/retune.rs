//! `narrows retune`: the fewest swaps to another pitch, width or gain.

use crate::exit::Exit;
use crate::options::{gain, pitch, price, values, width};
use crate::output;
use crate::text;
use crate::trouble::Trouble;
use crate::world;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use units::{Decibels, Farads, Hertz, Ohms};
use workshop::Refusal;
use workshop::retune::{Kinds, PartWish, RetuneRequest, ValueRule, WidthWish, files, retune};

/// Arguments of `narrows retune`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/retune.txt"))]
pub(super) struct Arguments {
    /// The circuit, a file of format "narrows circuit 1"
    #[arg(value_name = "CIRCUIT.toml")]
    circuit: PathBuf,
    /// The pitch it is to be centred at: 600 or "600 Hz"; left out, the centre stays
    #[arg(long, value_name = "FREQUENCY", value_parser = pitch)]
    pitch: Option<Hertz>,
    /// Its width 6 dB down: "150 Hz", or "in proportion" to the pitch; left out, it stays in Hz
    #[arg(long, value_name = "WIDTH", value_parser = width)]
    width: Option<WidthWish>,
    /// Its gain at the centre: "0 dB"; left out, it stays
    #[arg(long, value_name = "GAIN", value_parser = gain, allow_hyphen_values = true)]
    gain: Option<Decibels>,
    /// Which kinds of part may change
    #[arg(long, value_enum, default_value_t = ChangeKinds::Resistors)]
    change: ChangeKinds,
    /// Only these parts may change: R3,R7
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    only: Vec<String>,
    /// These parts stay as they are: R1,R2
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    keep: Vec<String>,
    /// What it costs to change a part that is hard to reach, 1 being any other: "R3 = 5"
    #[arg(long, value_name = "PRICE", value_delimiter = ',', value_parser = price)]
    price: Vec<(String, f64)>,
    /// Series and range to choose resistors from: E24, or "E96 1k to 1M"
    #[arg(long, value_name = "VALUES", value_parser = values::<Ohms>)]
    resistors: Option<ValueRule<Ohms>>,
    /// Series and range to choose capacitors from: E6, or "E12 1n to 220n"
    #[arg(long, value_name = "VALUES", value_parser = values::<Farads>)]
    capacitors: Option<ValueRule<Farads>>,
    /// Choose from this drawer instead, a CSV file as narrows stock lists it
    #[arg(long, value_name = "DRAWER.csv", conflicts_with_all = ["resistors", "capacitors", "trim"])]
    drawer: Option<PathBuf>,
    /// Most parts to change at once; left out, 12
    #[arg(long, value_name = "COUNT")]
    most: Option<usize>,
    /// Trim the built circuit instead: one resistor a stage; takes --measured
    #[arg(long, requires = "measured", conflicts_with_all = ["width", "gain", "most", "price", "out"])]
    trim: bool,
    /// Where the built circuit was measured to be centred: "690 Hz"
    #[arg(long, value_name = "FREQUENCY", requires = "trim", value_parser = pitch)]
    measured: Option<Hertz>,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// Write the changed circuits into this folder, comments and all
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ChangeKinds {
    /// Resistors, but not those that set the mid-supply
    Resistors,
    /// Capacitors, but no electrolytic
    Capacitors,
    /// Both
    Both,
}

impl Arguments {
    fn request(&self) -> Result<RetuneRequest, Trouble> {
        let drawer = match &self.drawer {
            Some(path) => Some((
                path.display().to_string(),
                world::read_drawer(path).map_err(Trouble::Read)?,
            )),
            None => None,
        };
        Ok(RetuneRequest {
            name: self.circuit.display().to_string(),
            text: world::read_text(&self.circuit).map_err(Trouble::Read)?,
            pitch: self.pitch,
            width: self.width,
            gain: self.gain,
            parts: PartWish {
                change: match self.change {
                    ChangeKinds::Resistors => Kinds::Resistors,
                    ChangeKinds::Capacitors => Kinds::Capacitors,
                    ChangeKinds::Both => Kinds::Both,
                },
                only: named("--only", &self.only)?,
                locked: named("--keep", &self.keep)?,
                prices: prices(&self.price)?,
            },
            resistors: self.resistors,
            capacitors: self.capacitors,
            drawer,
            most: self.most,
            trim: self.measured,
        })
    }
}

/// The parts of a list, which are written in capitals; nothing between two commas names none.
fn named(option: &str, list: &[String]) -> Result<Vec<String>, Trouble> {
    let names = list.iter().map(|name| name.trim().to_uppercase());
    let names: Vec<String> = names.filter(|name| !name.is_empty()).collect();
    if names.is_empty() && !list.is_empty() {
        let sentence = format!("{option} names no part; write it like {option} R3,R7");
        return Err(Trouble::Refused(Refusal::Circuit(sentence)));
    }
    Ok(names)
}

/// The prices by part, each stated once.
fn prices(list: &[(String, f64)]) -> Result<Vec<(String, f64)>, Trouble> {
    let mut prices: Vec<(String, f64)> = Vec::new();
    for (name, price) in list {
        let name = name.to_uppercase();
        if let Some((_, other)) = prices.iter().find(|(known, _)| *known == name) {
            let sentence = format!("{name} has two prices, {other} and {price}; leave one out");
            return Err(Trouble::Refused(Refusal::Circuit(sentence)));
        }
        prices.push((name, *price));
    }
    Ok(prices)
}

/// Reads the circuit, finds the swaps, prints and writes them.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let request = arguments.request()?;
    let outcome = retune(&request).map_err(Trouble::Refused)?;
    if let Some(folder) = &arguments.out {
        let files = files(&request, &outcome).map_err(Trouble::Refused)?;
        world::write_all(folder, &files).map_err(Trouble::Write)?;
    }
    if arguments.json {
        output::print_json(&outcome)?;
    } else {
        output::print(&text::retune(&outcome, arguments.out.as_deref()))?;
    }
    Ok(Exit::Done)
}
