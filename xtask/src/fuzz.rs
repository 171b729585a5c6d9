//! Fuzzing: the tests named `fuzz_…` with as many inputs as asked for.
//!
//! They are ordinary tests with fixed seeds that take a small number of inputs in a normal run;
//! here `NARROWS_FUZZ_RUNS` tells them to take more.

use crate::process::{cargo, watch};
use crate::tally::Tally;
use crate::trouble::Trouble;
use std::path::Path;

/// Runs them, optimised.
pub(crate) fn run(root: &Path, runs: u64) -> Result<bool, Trouble> {
    let mut command = cargo();
    command
        .current_dir(root)
        .env("NARROWS_FUZZ_RUNS", runs.to_string())
        .args([
            "test",
            "--profile",
            "fuzz",
            "--workspace",
            "--locked",
            "--no-fail-fast",
        ])
        .args(["--lib", "--bins", "--tests", "--", "fuzz_"]);
    let ended = watch(&mut command)?;
    let tally = Tally::of_cargo(&ended.output).with_exit(ended.good);
    println!(
        "\n{} fuzz tests passed with {runs} inputs each, {} failed",
        tally.passed, tally.failed
    );
    if tally.passed == 0 && tally.good() {
        println!("no test is named fuzz_…: nothing was shown");
        return Ok(false);
    }
    Ok(tally.good())
}
