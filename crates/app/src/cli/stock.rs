//! `narrows stock`: what is in the drawer, and changes to its file.

use crate::exit::Exit;
use crate::output;
use crate::text;
use crate::trouble::Trouble;
use crate::world;
use clap::Args;
use std::path::PathBuf;
use workshop::stock::{DrawerChange, StockRequest, StockSlip, stock};

/// Arguments of `narrows stock`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/stock.txt"))]
pub(super) struct Arguments {
    /// The drawer, a CSV file with the columns kind and value, and, if wanted, tolerance,
    /// dielectric, quantity, measured and note
    #[arg(value_name = "DRAWER.csv")]
    drawer: PathBuf,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// End with exit code 1 when a finding of severity "problem" stands
    #[arg(long)]
    strict: bool,
    /// Put pieces in: "resistor 4k7 1 % x20", "capacitor 10n film is 10.12n", "opamp TL072 x4"
    ///
    /// The row of the very same parts gets them; where there is none, a new row. If a row of
    /// that value states a tolerance or dielectric and the words do not, they are refused: say
    /// it too, or "no tolerance", "no dielectric" for a row of their own.
    #[arg(long, value_name = "PIECES")]
    add: Vec<String>,
    /// A piece from the drawer was measured, and gets a row of its own: "capacitor 10n is 10.12n"
    ///
    /// The note of the row it came from stays there; say note and a text to give it one.
    #[arg(long, value_name = "PIECE")]
    measured: Vec<String>,
    /// So many were counted: "resistor 4k7 x18"
    ///
    /// Where several rows hold the very same parts, they are counted together: the first gets
    /// the number, the others stay with 0.
    #[arg(long, value_name = "PIECES")]
    count: Vec<String>,
    /// Take pieces out: "capacitor 22n x2", or a measured one: "capacitor 10n is 10.12n"
    ///
    /// The row stays, with what is left, if only 0; a measured piece goes with its row. If rows
    /// of that value differ, say which: "resistor 4k7 1 %", "resistor 4k7 no tolerance".
    #[arg(long, value_name = "PIECES")]
    take: Vec<String>,
}

impl Arguments {
    /// The changes in the order in which they are made: what comes, what was measured, what
    /// was counted, what goes.
    fn slips(&self) -> Vec<StockSlip> {
        let all = [
            (DrawerChange::Add, "--add", &self.add),
            (DrawerChange::Measured, "--measured", &self.measured),
            (DrawerChange::Count, "--count", &self.count),
            (DrawerChange::Take, "--take", &self.take),
        ];
        let slips = all.into_iter().flat_map(|(change, name, list)| {
            list.iter().map(move |words| StockSlip {
                change,
                name: name.to_owned(),
                words: words.clone(),
            })
        });
        slips.collect()
    }
}

/// Reads the drawer, changes and writes it if asked to, prints what is in it.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let request = StockRequest {
        name: arguments.drawer.display().to_string(),
        text: world::read_drawer(&arguments.drawer).map_err(Trouble::Read)?,
        slips: arguments.slips(),
    };
    let outcome = stock(&request).map_err(Trouble::Refused)?;
    let kept = if request.slips.is_empty() {
        None
    } else {
        world::write_in_place(&arguments.drawer, &outcome.text).map_err(Trouble::Write)?
    };
    if arguments.json {
        output::print_json(&outcome)?;
    } else {
        output::print(&text::stock(&outcome, &request.name, kept.as_deref()))?;
    }
    Ok(output::verdict(&outcome.findings, arguments.strict))
}
