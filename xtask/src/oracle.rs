//! The oracle: reference libraries in Python judge the figures our code computes.
//!
//! `testimony`, a program of `testkit`, prints as JSON what our code says; the tests in `oracle/`
//! compute the same from outside and compare. Neither side reads the other's source. It is built
//! for release: what is judged is what users run. The program itself is judged as well, by the
//! circuits it plans.

use crate::process::{ask, cargo, watch};
use crate::python;
use crate::tally::Tally;
use crate::trouble::Trouble;
use std::path::Path;
use std::process::Command;

/// Takes the testimony and lets pytest judge it; `rest` goes to pytest, which runs everything
/// unless a file of `oracle/` is named there.
pub(crate) fn run(root: &Path, rest: &[String]) -> Result<Tally, Trouble> {
    let interpreter = python::ready(root)?;
    let built = ask(cargo().current_dir(root).args([
        "build",
        "--release",
        "--quiet",
        "--locked",
        "--bin",
        "narrows",
    ]))?;
    if !built.good {
        eprintln!("{}", built.output.trim_end());
        return Ok(Tally::one(false));
    }
    let program = root
        .join("target/release/narrows")
        .with_extension(std::env::consts::EXE_EXTENSION);
    let testimony = root.join("target/testimony.json");
    let mut witness = cargo();
    witness
        .current_dir(root)
        .args([
            "run",
            "--release",
            "--quiet",
            "--locked",
            "--package",
            "testkit",
        ])
        .args(["--bin", "testimony", "--"])
        .arg(&testimony);
    let heard = ask(&mut witness)?;
    if !heard.good {
        eprintln!("{}", heard.output.trim_end());
        return Ok(Tally::one(false));
    }
    let mut judge = Command::new(interpreter);
    judge
        .current_dir(root)
        .env("NARROWS_TESTIMONY", &testimony)
        .env("NARROWS_PROGRAM", &program)
        .env("PYTHONDONTWRITEBYTECODE", "1")
        // Small matrices: threads of the linear algebra would only wait for each other.
        .envs(["OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"].map(|name| (name, "1")))
        .args(["-m", "pytest", "-p", "no:cacheprovider", "-q"])
        .args(rest);
    if !rest.iter().any(|word| word.starts_with("oracle")) {
        judge.arg("oracle");
    }
    let ended = watch(&mut judge)?;
    Ok(Tally::of_pytest(&ended.output).with_exit(ended.good))
}
