//! The contest with a reference library, and the page that shows it.
//!
//! `contest`, a program of `testkit`, measures our recorded elimination and writes matrices down;
//! `oracle/contest.py` solves the same matrices by numpy's batched dense solution in the same run,
//! checks that the answers agree, and words the figures, which are set between two marks in
//! `docs/performance.md`.

use crate::process::{ask, cargo};
use crate::python;
use crate::trouble::Trouble;
use std::path::Path;
use std::process::Command;

const FROM: &str = "<!-- measured by cargo xtask bench -->\n";
const TO: &str = "<!-- to here -->\n";

/// Runs both sides and shows what came of it.
pub(crate) fn run(root: &Path) -> Result<bool, Trouble> {
    println!("\n== variants of a circuit, beside numpy");
    let interpreter = python::ready(root)?;
    let folder = root.join("target/contest");
    let mut ours = cargo();
    ours.current_dir(root)
        .args(["run", "--release", "--quiet", "--locked"])
        .args(["--package", "testkit", "--bin", "contest", "--"])
        .arg(&folder);
    let mut theirs = Command::new(interpreter);
    theirs
        .current_dir(root)
        .arg("oracle/contest.py")
        .arg(&folder)
        .env("PYTHONDONTWRITEBYTECODE", "1")
        // Small matrices: threads of the linear algebra would only wait for each other.
        .envs(["OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"].map(|name| (name, "1")));
    let measured = ask(&mut ours)?;
    if !measured.good {
        eprintln!("{}", measured.output.trim_end());
        return Ok(false);
    }
    let judged = ask(&mut theirs)?;
    println!("{}", judged.output.trim_end());
    if judged.good {
        show(&root.join("docs/performance.md"), &judged.output)?;
    }
    Ok(judged.good)
}

/// Sets the fragment between the marks of the page.
fn show(page: &Path, fragment: &str) -> Result<(), Trouble> {
    let trouble = |why| Trouble::File {
        path: page.display().to_string(),
        why,
    };
    let text = std::fs::read_to_string(page).map_err(trouble)?;
    let Some(shown) = between(&text, fragment) else {
        println!("docs/performance.md has lost its marks, so the figures are not set there");
        return Ok(());
    };
    std::fs::write(page, shown).map_err(trouble)
}

fn between(text: &str, fragment: &str) -> Option<String> {
    let (before, rest) = text.split_once(FROM)?;
    let (_, after) = rest.split_once(TO)?;
    let fragment = fragment.trim_end();
    Some(format!("{before}{FROM}\n{fragment}\n\n{TO}{after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Round trip: what stood between the marks goes, what stood around them stays.
    #[test]
    fn only_what_is_between_the_marks_changes() {
        let text = format!("head\n{FROM}old\n{TO}tail\n");
        let once = between(&text, "new\n").expect("both marks");
        assert_eq!(once, format!("head\n{FROM}\nnew\n\n{TO}tail\n"));
        assert_eq!(between(&once, "new"), Some(once.clone()));
        assert_eq!(between("no marks", "new"), None);
    }
}
