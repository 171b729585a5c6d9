//! The words after `cargo xtask`.

use crate::trouble::Trouble;

/// What `cargo xtask help` prints.
pub(crate) const HELP: &str = "\
cargo xtask <chore>

  ci               everything the build machine runs, in its order, with times and a count
  tidy [--remarks] the rules of the house that a compiler does not check;
                   --remarks also lists what is long but still allowed
  oracle [ARGS]    the Python reference libraries judge our figures; ARGS go to pytest
  fuzz RUNS        the tests named fuzz_… in release, RUNS inputs each
  bench [FILTER]   the benchmarks, all or those whose name holds FILTER; `contest` is the one
                   beside numpy
  help             this text
";

/// One chore with its arguments.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Command {
    /// List the chores.
    Help,
    /// Run everything.
    Ci,
    /// Check the house rules.
    Tidy {
        /// Also list what is merely long.
        remarks: bool,
    },
    /// Run the reference libraries.
    Oracle {
        /// Arguments handed to pytest.
        rest: Vec<String>,
    },
    /// Run the fuzz tests.
    Fuzz {
        /// Inputs for each.
        runs: u64,
    },
    /// Run the benchmarks.
    Bench {
        /// Only those whose name holds this.
        filter: Option<String>,
    },
}

impl Command {
    /// Reads the words; no word at all asks for help.
    pub(crate) fn parse(words: &[String]) -> Result<Command, Trouble> {
        let refused = || Trouble::Words {
            found: words.join(" "),
        };
        let words_ref: Vec<&str> = words.iter().map(String::as_str).collect();
        match words_ref.as_slice() {
            [] | ["help" | "--help" | "-h"] => Ok(Command::Help),
            ["ci"] => Ok(Command::Ci),
            ["tidy"] => Ok(Command::Tidy { remarks: false }),
            ["tidy", "--remarks"] => Ok(Command::Tidy { remarks: true }),
            ["oracle", ..] => Ok(Command::Oracle {
                rest: words[1..].to_vec(),
            }),
            ["fuzz", runs] => runs
                .replace('_', "")
                .parse()
                .map(|runs| Command::Fuzz { runs })
                .map_err(|_| refused()),
            ["bench"] => Ok(Command::Bench { filter: None }),
            ["bench", filter] => Ok(Command::Bench {
                filter: Some((*filter).to_owned()),
            }),
            _ => Err(refused()),
        }
    }

    /// The names of the chores, for the check that the documents name real ones.
    pub(crate) const NAMES: [&'static str; 6] = ["ci", "tidy", "oracle", "fuzz", "bench", "help"];
}

#[cfg(test)]
mod tests {
    use super::{Command, HELP};

    fn parse(line: &str) -> Result<Command, String> {
        let words: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
        Command::parse(&words).map_err(|t| t.to_string())
    }

    #[test]
    fn every_chore_is_read_and_stands_in_the_help() {
        for name in Command::NAMES {
            let line = if name == "fuzz" { "fuzz 1_000" } else { name };
            assert!(parse(line).is_ok(), "{name}");
            assert!(HELP.contains(&format!("\n  {name}")), "{name}");
        }
        assert_eq!(parse("fuzz 1_000"), Ok(Command::Fuzz { runs: 1000 }));
    }

    #[test]
    fn other_words_are_refused_with_the_words_in_the_message() {
        for line in ["tidier", "fuzz", "fuzz many", "ci now", "bench a b"] {
            let told = parse(line).expect_err(line);
            assert!(told.contains(line) && told.contains("help"), "{told}");
        }
    }
}
