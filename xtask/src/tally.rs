//! How many tests ran and how they ended, read from what the test programs print.

use std::ops::AddAssign;

/// Counts of one step or of all of them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// Ended well.
    pub(crate) passed: usize,
    /// Ended badly, or did not come to run because something did not build.
    pub(crate) failed: usize,
    /// Left out on purpose.
    pub(crate) skipped: usize,
}

impl Tally {
    /// The tally of one thing that is either good or not.
    pub(crate) fn one(good: bool) -> Tally {
        Tally {
            passed: usize::from(good),
            failed: usize::from(!good),
            skipped: 0,
        }
    }

    /// Whether nothing failed.
    pub(crate) fn good(&self) -> bool {
        self.failed == 0
    }

    /// A program that ended badly without naming a failed test counts as one failure, so that
    /// a test that did not compile is never taken for one that passed.
    pub(crate) fn with_exit(mut self, good: bool) -> Tally {
        if !good && self.failed == 0 {
            self.failed = 1;
        }
        self
    }

    /// Sums the lines `test result: ok. 3 passed; 0 failed; 1 ignored; …` of Rust's test harness.
    pub(crate) fn of_cargo(output: &str) -> Tally {
        let mut sum = Tally::default();
        for line in output.lines() {
            // A test that prints without an end of line may stand before the summary.
            if let Some((_, counts)) = line.split_once("test result: ") {
                sum += Tally {
                    passed: before(counts, "passed"),
                    failed: before(counts, "failed"),
                    skipped: before(counts, "ignored"),
                };
            }
        }
        sum
    }

    /// Reads the last summary line of pytest: `=== 2 failed, 12 passed, 1 skipped in 0.31s ===`.
    pub(crate) fn of_pytest(output: &str) -> Tally {
        let summary = output
            .lines()
            .rev()
            .find(|line| line.contains(" in ") && line.contains(|c: char| c.is_ascii_digit()));
        summary.map_or_else(Tally::default, |line| Tally {
            passed: before(line, "passed") + before(line, "xpassed"),
            failed: before(line, "failed") + before(line, "error") + before(line, "errors"),
            skipped: before(line, "skipped") + before(line, "xfailed"),
        })
    }
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Tally) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

/// The whole number that stands directly before the word, or 0.
fn before(text: &str, word: &str) -> usize {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    words
        .windows(2)
        .find(|pair| pair[1] == word)
        .and_then(|pair| pair[0].parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::Tally;

    fn tally(passed: usize, failed: usize, skipped: usize) -> Tally {
        Tally {
            passed,
            failed,
            skipped,
        }
    }

    #[test]
    fn cargo_summaries_are_summed() {
        let output = "running 3 tests\ntest a ... ok\n\
            test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
            \n   Doc-tests units\n\
            stray words test result: FAILED. 10 passed; 2 failed; 0 ignored; 0 measured; 4 filtered out\n";
        assert_eq!(Tally::of_cargo(output), tally(13, 2, 1));
        assert_eq!(Tally::of_cargo("error: could not compile"), tally(0, 0, 0));
    }

    #[test]
    fn pytest_summaries_are_read() {
        for (line, expected) in [
            (
                "============ 12 passed in 0.31s ============",
                tally(12, 0, 0),
            ),
            (
                "==== 2 failed, 12 passed, 1 skipped in 3.20s ====",
                tally(12, 2, 1),
            ),
            ("=== 1 passed, 3 errors in 0.1s ===", tally(1, 3, 0)),
            ("12 passed, 4 warnings in 1.00s (0:00:01)", tally(12, 0, 0)),
        ] {
            let output = format!("tests in 3 files\n{line}\n");
            assert_eq!(Tally::of_pytest(&output), expected, "{line}");
        }
        assert_eq!(Tally::of_pytest(""), tally(0, 0, 0));
    }

    #[test]
    fn a_bad_end_without_a_failed_test_counts_as_a_failure() {
        assert_eq!(tally(0, 0, 0).with_exit(false), tally(0, 1, 0));
        assert_eq!(tally(5, 2, 0).with_exit(false), tally(5, 2, 0));
        assert_eq!(tally(5, 0, 0).with_exit(true), tally(5, 0, 0));
    }
}
