//! What our code says, as JSON, for the reference libraries in `oracle/` to judge.
//!
//! `testimony FILE` writes the whole; it takes no other argument. Everything in it is computed
//! here and now by the crates of the house; the tests in Python compute the same from the inputs
//! given beside each figure and compare. SI units; complex numbers as `[re, im]`.

mod band_passes;
mod calm;
mod circuits;
mod netlist;
mod prototypes;
mod stages;
mod tolerances;

use serde_json::{Value, json};
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(path) = std::env::args_os().nth(1) else {
        return told("usage: testimony FILE");
    };
    let text = testimony().to_string();
    match std::fs::write(&path, text) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => told(&format!("{}: {why}", path.display())),
    }
}

/// Says what is wrong and fails.
#[expect(
    clippy::print_stderr,
    reason = "a program of the tests tells its caller"
)]
fn told(words: &str) -> ExitCode {
    eprintln!("{words}");
    ExitCode::FAILURE
}

/// Everything we say.
fn testimony() -> Value {
    json!({
        "format": "narrows testimony 1",
        "tolerances": tolerances::all(),
        "prototypes": prototypes::all(),
        "bells": prototypes::bells(),
        "band_passes": band_passes::all(),
        "calm_equivalents": calm::equivalents(),
        "calm_bands": calm::bands(),
        "stages": stages::all(),
        "circuits": circuits::networks(),
        "filters": circuits::filters(),
    })
}

/// A complex number as a list of two.
fn complex(z: num_complex::Complex64) -> Value {
    json!([z.re, z.im])
}

/// Complex numbers as a list of lists of two.
fn complexes(all: impl IntoIterator<Item = num_complex::Complex64>) -> Value {
    all.into_iter().map(complex).collect()
}
