//! Running the program and looking at what it left.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The folder of the workspace, from which the sessions in the documentation are run.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .unwrap()
}

/// Runs `narrows` with these arguments from the folder of the workspace.
pub(crate) fn narrows<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> Output {
    narrows_in(&root(), arguments)
}

/// Runs `narrows` with these arguments from a folder.
pub(crate) fn narrows_in<S: AsRef<std::ffi::OsStr>>(folder: &Path, arguments: &[S]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_narrows"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env("COLUMNS", "100")
        .output()
        .unwrap()
}

/// Standard output as text.
pub(crate) fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Standard error as text.
pub(crate) fn trouble(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// The one JSON document on standard output; fails when there is anything else.
pub(crate) fn json(output: &Output) -> serde_json::Value {
    assert!(output.status.success(), "{}", trouble(output));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The shipped need.
pub(crate) const NEED: &str = "examples/attic/need.toml";
/// The shipped hand-written circuit.
pub(crate) const OLD_BOX: &str = "examples/attic/old-box.toml";
/// The shipped drawer.
pub(crate) const DRAWER: &str = "examples/drawer/drawer.csv";
