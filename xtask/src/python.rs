//! The Python environment of the oracle: `.venv`, made from `oracle/requirements.txt`.
//!
//! The file locks every package to one version and its hashes, so what judges us today judges us
//! tomorrow. The environment is made anew when that file changes. On Debian and its kin the
//! module that makes environments is a package of its own; as root we install it, otherwise we
//! say what to install.

use crate::process::{ask, watch};
use crate::trouble::Trouble;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Makes the environment if it is missing or old; returns its interpreter.
pub(crate) fn ready(root: &Path) -> Result<PathBuf, Trouble> {
    let folder = root.join(".venv");
    let interpreter = interpreter(&folder);
    let lock_path = root.join("oracle/requirements.txt");
    let lock = std::fs::read_to_string(&lock_path).map_err(|why| Trouble::File {
        path: lock_path.display().to_string(),
        why,
    })?;
    let stamp = folder.join("made-from.txt");
    let made_from = std::fs::read_to_string(&stamp).unwrap_or_default();
    if made_from == lock && works(&interpreter) {
        return Ok(interpreter);
    }
    println!("making .venv from oracle/requirements.txt");
    make(&folder)?;
    install(&interpreter, &lock_path)?;
    std::fs::write(&stamp, lock).map_err(|why| Trouble::File {
        path: stamp.display().to_string(),
        why,
    })?;
    Ok(interpreter)
}

/// Where an environment keeps its interpreter.
fn interpreter(folder: &Path) -> PathBuf {
    if cfg!(windows) {
        folder.join("Scripts/python.exe")
    } else {
        folder.join("bin/python")
    }
}

/// Whether the interpreter is there and runs (a moved environment does not).
fn works(interpreter: &Path) -> bool {
    ask(Command::new(interpreter).args(["-c", "import numpy, pytest"]))
        .is_ok_and(|ended| ended.good)
}

/// Makes an empty environment, installing what Debian leaves out when that is possible.
fn make(folder: &Path) -> Result<(), Trouble> {
    let attempt = || {
        ask(Command::new("python3")
            .args(["-m", "venv", "--clear"])
            .arg(folder))
    };
    if attempt().is_ok_and(|ended| ended.good) {
        return Ok(());
    }
    if as_root() {
        println!("python3 cannot make an environment yet: installing python3-venv");
        let mut update = apt(&["update", "-qq"]);
        watch(&mut update)?;
        watch(&mut apt(&["install", "-y", "-qq", "python3-venv"]))?;
    }
    let last = attempt()?;
    if last.good {
        return Ok(());
    }
    eprintln!("{}", last.output.trim_end());
    Err(Trouble::Failed {
        program: "python3 -m venv .venv".to_owned(),
        advice: "install Python 3.11 or newer with its venv module \
                 (on Debian: apt-get install python3-venv)"
            .to_owned(),
    })
}

/// Fills the environment from the lock file.
///
/// `--no-deps` because the lock names every package itself; what it leaves out and why stands at
/// its head.
fn install(interpreter: &Path, lock: &Path) -> Result<(), Trouble> {
    let mut command = Command::new(interpreter);
    command
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
        ])
        .args([
            "--require-hashes",
            "--no-deps",
            "--only-binary",
            ":all:",
            "-r",
        ])
        .arg(lock);
    if watch(&mut command)?.good {
        return Ok(());
    }
    Err(Trouble::Failed {
        program: "pip install -r oracle/requirements.txt".to_owned(),
        advice: "the package index must be reachable and Python must be 3.11 or newer".to_owned(),
    })
}

/// Whether we may install packages of the system.
fn as_root() -> bool {
    ask(Command::new("id").arg("-u")).is_ok_and(|ended| ended.good && ended.output.trim() == "0")
}

/// A call of Debian's package installer that asks nothing.
fn apt(words: &[&str]) -> Command {
    let mut command = Command::new("apt-get");
    command.env("DEBIAN_FRONTEND", "noninteractive").args(words);
    command
}
