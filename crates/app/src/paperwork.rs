//! `narrows paperwork`: shell completions and manual pages, made from the same
//! description of the commands that parses them.

use crate::cli::Narrows;
use crate::exit::Exit;
use crate::trouble::Trouble;
use crate::world;
use clap::{Args, CommandFactory};
use clap_complete::Shell;
use std::path::PathBuf;

/// Arguments of `narrows paperwork`.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Folder that receives the completions of every shell and the manual pages
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

/// Writes completions and manual pages into the folder.
pub(crate) fn run(arguments: &Arguments) -> Result<Exit, Trouble> {
    let mut files = Vec::new();
    for shell in [
        Shell::Bash,
        Shell::Elvish,
        Shell::Fish,
        Shell::PowerShell,
        Shell::Zsh,
    ] {
        let mut bytes = Vec::new();
        clap_complete::generate(shell, &mut Narrows::command(), "narrows", &mut bytes);
        files.push((format!("narrows.{shell}"), text(bytes)));
    }
    let whole = Narrows::command();
    files.push(("narrows.1".to_owned(), page(whole.clone())?));
    for command in whole.get_subcommands().filter(|c| !c.is_hide_set()) {
        let name = format!("narrows-{}", command.get_name());
        let named = command.clone().name(name.clone());
        files.push((format!("{name}.1"), page(named)?));
    }
    world::write_all(&arguments.out, &files).map_err(Trouble::Write)?;
    Ok(Exit::Done)
}

fn page(command: clap::Command) -> Result<String, Trouble> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut bytes)
        .map_err(Trouble::Output)?;
    Ok(text(bytes))
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8_lossy(&bytes).into_owned()
}
