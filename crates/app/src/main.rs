//! The `narrows` binary: the only crate that touches files, the terminal and the clock.
fn main() {}
