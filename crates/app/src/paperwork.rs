//! `narrows paperwork`: shell completions and manual pages, made from the same
//! description of the commands that parses them.

use crate::cli::Narrows;
use crate::exit::Exit;
use crate::trouble::Trouble;
use crate::world;
use clap::builder::Resettable;
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

/// A manual page, with the worked session set as it was typed and printed.
fn page(command: clap::Command) -> Result<String, Trouble> {
    let session = command.get_after_long_help().map(ToString::to_string);
    let command = command.after_long_help(Resettable::Reset);
    let mut bytes = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut bytes)
        .map_err(Trouble::Output)?;
    let mut page = text(bytes);
    if let Some(session) = session {
        page.push_str(".SH EXAMPLE\n.nf\n");
        page.extend(session.lines().map(as_it_stands));
        page.push_str(".fi\n");
    }
    Ok(page)
}

/// A line of a manual page in which nothing is an instruction to the typesetter.
fn as_it_stands(line: &str) -> String {
    let line = line.replace('\\', "\\e").replace('-', "\\-");
    format!("\\&{line}\n")
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8_lossy(&bytes).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Round trip: the session stands in the page line by line, as it is shown by `--help`.
    #[test]
    fn the_worked_session_keeps_its_lines() {
        let whole = Narrows::command();
        let mut seen = 0;
        for command in whole.get_subcommands().filter(|c| !c.is_hide_set()) {
            let session = command.get_after_long_help().map(ToString::to_string);
            let Ok(page) = page(command.clone()) else {
                panic!("no page for {}", command.get_name());
            };
            let (_, example) = page.split_once(".SH EXAMPLE\n.nf\n").expect("an example");
            let example = example.strip_suffix(".fi\n").expect("its end");
            let lines: Vec<String> = example
                .lines()
                .map(|line| {
                    line.trim_start_matches("\\&")
                        .replace("\\-", "-")
                        .replace("\\e", "\\")
                })
                .collect();
            let session = session.expect("a session");
            assert_eq!(lines, session.lines().collect::<Vec<_>>());
            assert!(!page.contains(".SH EXTRA"));
            seen += 1;
        }
        assert!(seen >= 3, "{seen} commands");
    }
}
