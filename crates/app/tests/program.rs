//! The program as a user runs it, one file a command, and what holds for all of them.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot set itself up may stop there"
)]

mod bad_input;
mod guide;
mod play;
mod run;
mod sessions;

/// One file a command.
mod cli {
    mod check;
    mod plan;
    mod retune;
    mod sheet;
    mod spread;
    mod stock;
}
