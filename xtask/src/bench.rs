//! The benchmarks: every `benches/*.rs` of every crate, in release, and the contest.

use crate::contest;
use crate::process::{cargo, watch};
use crate::trouble::Trouble;
use std::path::Path;

/// Runs them one after the other, so that they do not disturb each other.
pub(crate) fn run(root: &Path, filter: Option<&str>) -> Result<bool, Trouble> {
    let found = benches(&root.join("crates"))?;
    let mut good = true;
    let contest_alone = filter == Some("contest");
    for (package, bench) in found.iter().filter(|_| !contest_alone) {
        println!("\n== {package}: {bench}");
        let mut command = cargo();
        command
            .current_dir(root)
            .args([
                "bench",
                "--locked",
                "--package",
                package,
                "--bench",
                bench,
                "--",
            ])
            .args(filter);
        good &= watch(&mut command)?.good;
    }
    if found.is_empty() {
        println!("no crate has a benches folder");
    }
    if contest_alone || filter.is_none() {
        good &= contest::run(root)?;
    }
    Ok(good)
}

/// The benchmark programs, as (package, name), sorted.
fn benches(crates: &Path) -> Result<Vec<(String, String)>, Trouble> {
    let mut found = Vec::new();
    for package in names(crates)? {
        for file in names(&crates.join(&package).join("benches")).unwrap_or_default() {
            if let Some(bench) = file.strip_suffix(".rs") {
                found.push((package.clone(), bench.to_owned()));
            }
        }
    }
    Ok(found)
}

/// The names in a folder, sorted.
fn names(folder: &Path) -> Result<Vec<String>, Trouble> {
    let trouble = |why| Trouble::File {
        path: folder.display().to_string(),
        why,
    };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(trouble)? {
        names.push(
            entry
                .map_err(trouble)?
                .file_name()
                .to_string_lossy()
                .into_owned(),
        );
    }
    names.sort();
    Ok(names)
}
