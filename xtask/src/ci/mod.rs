//! Everything the build machine runs, in its order.
//!
//! A step that fails does not stop the later ones, so that one run tells everything. The last
//! line is `N passed, N failed`: each test of Rust and of Python counts as one, and so does each
//! of the other steps.

mod step;

use crate::tally::Tally;
use crate::trouble::Trouble;
use std::path::Path;
use std::time::{Duration, Instant};
use step::{STEPS, Step};

/// How one step ended.
struct Ended {
    step: &'static Step,
    tally: Tally,
    took: Duration,
}

/// Runs every step and prints the table.
pub(crate) fn run(root: &Path) -> Result<bool, Trouble> {
    let begun = Instant::now();
    let mut ended = Vec::new();
    for (index, step) in STEPS.iter().enumerate() {
        println!("\n=== {}/{} {}", index + 1, STEPS.len(), step.title);
        let started = Instant::now();
        let tally = (step.run)(root)?;
        let took = started.elapsed();
        println!("--- {}: {}", step.title, verdict(tally, took));
        ended.push(Ended { step, tally, took });
    }
    Ok(summary(&ended, begun.elapsed()))
}

/// `ok in 3.1 s` or `FAILED in 3.1 s`.
fn verdict(tally: Tally, took: Duration) -> String {
    let word = if tally.good() { "ok" } else { "FAILED" };
    format!("{word} in {:.1} s", took.as_secs_f64())
}

/// Prints a line a step, then the sum.
fn summary(ended: &[Ended], took: Duration) -> bool {
    println!("\n=== what ran");
    let mut sum = Tally::default();
    for Ended { step, tally, took } in ended {
        println!(
            "{:<28} {:>6} passed {:>4} failed {:>4} left out  {}",
            step.title,
            tally.passed,
            tally.failed,
            tally.skipped,
            verdict(*tally, *took)
        );
        sum += *tally;
    }
    println!("{:.0} s in all", took.as_secs_f64());
    println!("{} passed, {} failed", sum.passed, sum.failed);
    sum.good()
}
