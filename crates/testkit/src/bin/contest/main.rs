//! The contest: thousands of variants of one circuit by our recorded elimination, and the same
//! matrices written down for a reference library to solve in the same run.
//!
//! `contest FOLDER` writes `contest.json` (what was measured here), `matrices.bin` and
//! `answers.bin` (complex numbers as pairs of little-endian doubles) into the folder.
#![expect(
    clippy::print_stderr,
    reason = "it is started by hand or by a chore, and says why it stopped"
)]

mod peak;

use circuit::system::System;
use circuit::variants::Batch;
use num_complex::Complex64;
use serde_json::json;
use std::f64::consts::TAU;
use std::hint::black_box;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;
use testkit::{built, decade, four_stage_box, jfet_opamp};

const VARIANTS: usize = 10_000;
const FREQUENCIES: usize = 200;
/// Variants whose matrices are written down: as many as a reference library solves in seconds.
const WRITTEN: usize = 10;
const ROUNDS: usize = 15;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("contest: name the folder to write into");
        return ExitCode::from(2);
    };
    match contest(Path::new(&folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("contest: {why}");
            ExitCode::from(3)
        }
    }
}

fn contest(folder: &Path) -> Result<(), Box<dyn std::error::Error>> {
    let circuit = four_stage_box(&jfet_opamp());
    let system = System::build(&circuit)?;
    let output = system
        .voltage(circuit.output)
        .ok_or("the output is a rail")?;
    let start = Instant::now();
    let batch = Batch::new(&system, &[circuit.output], 700.0)?;
    let recording_s = start.elapsed().as_secs_f64();
    let (variants, f_hz) = (built(&system, VARIANTS), decade(FREQUENCIES));
    let mut readings = batch.sweep(&variants, &f_hz);
    let mut seconds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            readings = black_box(batch.sweep(black_box(&variants), &f_hz));
            start.elapsed().as_secs_f64()
        })
        .collect();
    seconds.sort_by(f64::total_cmp);
    let mut matrices = Vec::new();
    for variant in 0..WRITTEN {
        for &f in &f_hz {
            write_matrix(
                &system,
                variants.row(variant),
                variants.parameters(),
                f,
                &mut matrices,
            );
        }
    }
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("matrices.bin"), bytes(&matrices))?;
    let written = &readings.values[..WRITTEN * FREQUENCIES];
    std::fs::write(folder.join("answers.bin"), bytes(written))?;
    let told = json!({
        "unknowns": system.size(), "source": system.source_row(), "output": output,
        "parts": circuit.parts.len(), "variants": VARIANTS, "frequencies": FREQUENCIES,
        "written": WRITTEN * FREQUENCIES, "redone": readings.redone,
        "operations": batch.operations(), "recording_s": recording_s,
        "best_s": seconds[0], "median_s": seconds[ROUNDS / 2],
        "peak_per_s": peak::multiply_adds_per_second(), "vectors": peak::vectors(),
        "threads": rayon::current_num_threads(),
    });
    std::fs::write(folder.join("contest.json"), format!("{told:#}\n"))?;
    Ok(())
}

/// The dense matrix of one variant at one frequency, row by row.
fn write_matrix(
    system: &System,
    row: &[f64],
    varying: &[usize],
    f_hz: f64,
    to: &mut Vec<Complex64>,
) {
    let n = system.size();
    let from = to.len();
    to.resize(from + n * n, Complex64::ZERO);
    let mut ratios = vec![1.0; system.parameters().len()];
    for (&k, value) in varying.iter().zip(row) {
        ratios[k] = value / system.parameters()[k].value;
    }
    let s = Complex64::new(0.0, TAU * f_hz);
    let values = system.strengths().iter().map(|k| k.valued(&ratios));
    for ((i, j), value) in system.matrix(values, s) {
        to[from + i * n + j] = value;
    }
}

fn bytes(numbers: &[Complex64]) -> Vec<u8> {
    let halves = numbers.iter().flat_map(|z| [z.re, z.im]);
    halves.flat_map(f64::to_le_bytes).collect()
}
