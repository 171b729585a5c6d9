//! Starting other programs: their output goes through to the terminal while it is kept for counting.

use crate::trouble::Trouble;
use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

/// What a program left behind.
#[derive(Debug)]
pub(crate) struct Ended {
    /// Whether it exited with 0.
    pub(crate) good: bool,
    /// Everything it wrote to its standard output.
    pub(crate) output: String,
}

/// The program and its arguments as one would type them.
pub(crate) fn typed(command: &Command) -> String {
    std::iter::once(command.get_program())
        .chain(command.get_args())
        .map(|word| word.to_string_lossy().into_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Runs a program to its end, passing its standard output on line by line and keeping a copy.
pub(crate) fn watch(command: &mut Command) -> Result<Ended, Trouble> {
    let name = typed(command);
    let trouble = |why| Trouble::Start {
        program: name.clone(),
        why,
    };
    let mut child = command.stdout(Stdio::piped()).spawn().map_err(trouble)?;
    let mut output = String::new();
    if let Some(pipe) = child.stdout.take() {
        let mut terminal = std::io::stdout();
        let mut pipe = BufReader::new(pipe);
        let mut line = Vec::new();
        while pipe.read_until(b'\n', &mut line).map_err(trouble)? > 0 {
            terminal.write_all(&line).map_err(trouble)?;
            output.push_str(&String::from_utf8_lossy(&line));
            line.clear();
        }
    }
    let status = child.wait().map_err(trouble)?;
    Ok(Ended {
        good: status.success(),
        output,
    })
}

/// Runs a program silently; standard error is kept with the output.
pub(crate) fn ask(command: &mut Command) -> Result<Ended, Trouble> {
    let name = typed(command);
    let done = command
        .output()
        .map_err(|why| Trouble::Start { program: name, why })?;
    let mut output = String::from_utf8_lossy(&done.stdout).into_owned();
    output.push_str(&String::from_utf8_lossy(&done.stderr));
    Ok(Ended {
        good: done.status.success(),
        output,
    })
}

/// The cargo that runs us, so that a chosen toolchain stays chosen.
pub(crate) fn cargo() -> Command {
    Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}
