//! `narrows plan`: from a need to ranked circuits of real parts.

use crate::exit::Exit;
use crate::output;
use crate::text;
use crate::trouble::Trouble;
use crate::world;
use clap::Args;
use std::path::{Path, PathBuf};
use workshop::plan::{DrawerFile, PlanRequest, drawer_named, plan};

/// Arguments of `narrows plan`.
#[derive(Debug, Args)]
#[command(after_long_help = include_str!("../../sessions/plan.txt"))]
pub(super) struct Arguments {
    /// What is wanted, a file of format "narrows need 1"
    #[arg(value_name = "NEED.toml")]
    need: PathBuf,
    /// Print one JSON document instead of text
    #[arg(long)]
    json: bool,
    /// End with exit code 1 when the first design has a finding of severity "problem"
    #[arg(long)]
    strict: bool,
    /// Write the designs, and the sheet, parts list and schematic of the first, into this folder
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// Reads the need, plans, prints and writes the outcome.
pub(super) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let name = arguments.need.display().to_string();
    let text = world::read_text(&arguments.need).map_err(Trouble::Read)?;
    let drawer = drawer_named(&name, &text);
    let drawer = drawer.map(|file| drawer_beside(&arguments.need, &file));
    let request = PlanRequest {
        name,
        text,
        drawer: drawer.transpose()?,
    };
    let outcome = plan(&request).map_err(Trouble::Refused)?;
    if let Some(folder) = &arguments.out {
        let files = workshop::plan::files(&outcome).map_err(Trouble::Refused)?;
        world::write_all(folder, &files).map_err(Trouble::Write)?;
    }
    if arguments.json {
        output::print_json(&outcome)?;
    } else {
        output::print(&text::plan(&outcome, arguments.out.as_deref()))?;
    }
    let first = outcome.designs.first().map(|d| d.check.findings.as_slice());
    Ok(output::verdict(first.unwrap_or_default(), arguments.strict))
}

/// Reads the drawer that a need names; its place is counted from the need's folder.
fn drawer_beside(need: &Path, file: &str) -> Result<DrawerFile, Trouble> {
    let path = need.with_file_name(file);
    Ok(DrawerFile {
        name: path.display().to_string(),
        text: world::read_drawer(&path).map_err(Trouble::Read)?,
    })
}
