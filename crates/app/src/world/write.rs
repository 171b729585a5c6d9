//! Writing files so that a kill at any moment loses nothing that was saved.
//!
//! Each file is written beside its place under a temporary name, flushed to the
//! disk, and renamed over the old one, whose contents are kept as `NAME.prev`.

use std::fmt;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file could not be written.
#[derive(Debug)]
pub(crate) struct WriteFailure {
    path: PathBuf,
    error: io::Error,
}

impl WriteFailure {
    /// Whether the place that was asked for is to blame, and not what happened on the way.
    pub(crate) fn place_is_wrong(&self) -> bool {
        use io::ErrorKind::{
            AlreadyExists, InvalidFilename, IsADirectory, NotADirectory, NotFound,
            PermissionDenied, ReadOnlyFilesystem,
        };
        matches!(
            self.error.kind(),
            AlreadyExists
                | NotFound
                | PermissionDenied
                | NotADirectory
                | IsADirectory
                | ReadOnlyFilesystem
                | InvalidFilename
        )
    }

    /// What happened, in words of our own where there are such.
    fn why(&self) -> String {
        use io::ErrorKind::{
            AlreadyExists, InvalidFilename, IsADirectory, NotADirectory, NotFound,
            PermissionDenied, ReadOnlyFilesystem, StorageFull,
        };
        match self.error.kind() {
            AlreadyExists => "a file of that name is there, not a folder".to_owned(),
            IsADirectory => "a folder has the name that the file is to have".to_owned(),
            InvalidFilename => "the name is too long for this disk".to_owned(),
            NotFound => "no file or folder can be made there".to_owned(),
            PermissionDenied => "this user may not write there".to_owned(),
            NotADirectory => "a part of the path is a file, not a folder".to_owned(),
            ReadOnlyFilesystem => "the disk is read-only".to_owned(),
            StorageFull => "the disk is full".to_owned(),
            _ => self.error.to_string(),
        }
    }
}

impl fmt::Display for WriteFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: cannot be written: {}; give a folder that exists or can be made, with room on its disk",
            self.path.display(),
            self.why()
        )
    }
}

/// Writes every file of the list into the folder, which is made if it is missing.
///
/// # Errors
/// The folder cannot be made, or a file cannot be written, flushed or renamed.
pub(crate) fn write_all(folder: &Path, files: &[(String, String)]) -> Result<(), WriteFailure> {
    let at = |path: &Path| {
        let path = path.to_path_buf();
        move |error| WriteFailure { path, error }
    };
    fs::create_dir_all(folder).map_err(at(folder))?;
    for (name, contents) in files {
        let path = folder.join(name);
        write_one(&path, contents.as_bytes()).map_err(at(&path))?;
    }
    Ok(())
}

/// Writes a file that is there already: the one a link leads to, with the rights it has.
///
/// Returns where the version before is kept; nothing if the file held these contents already.
///
/// # Errors
/// The file cannot be written, flushed or renamed.
pub(crate) fn write_in_place(path: &Path, contents: &str) -> Result<Option<PathBuf>, WriteFailure> {
    let there = if path.is_symlink() {
        fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
    } else {
        path.to_path_buf()
    };
    match write_one(&there, contents.as_bytes()) {
        Ok(written) => Ok(written.then(|| beside(&there, ".prev"))),
        Err(error) => Err(WriteFailure { path: there, error }),
    }
}

/// The path with more at the end of its name.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(ending);
    path.with_file_name(name)
}

/// Writes one file, and says whether there was anything to write.
fn write_one(path: &Path, contents: &[u8]) -> io::Result<bool> {
    if fs::read(path).is_ok_and(|old| old == contents) {
        return Ok(false);
    }
    let fresh = beside(path, &format!(".{}.new", std::process::id()));
    let mut file = File::create(&fresh)?;
    let rights = fs::metadata(path).map(|old| old.permissions());
    let written = rights
        .map_or(Ok(()), |rights| fs::set_permissions(&fresh, rights))
        .and_then(|()| file.write_all(contents))
        .and_then(|()| file.sync_all());
    drop(file);
    let placed = written
        .and_then(|()| keep_previous(path, &beside(path, ".prev")))
        .and_then(|()| fs::rename(&fresh, path));
    if placed.is_err() {
        // The half-made file is of no use to anyone; the first error is what counts.
        let _ = fs::remove_file(&fresh);
    }
    placed.map(|()| true)
}

/// Keeps the old contents under `previous` without the old name ever being absent.
fn keep_previous(path: &Path, previous: &Path) -> io::Result<()> {
    if !path.exists() {
        return Ok(());
    }
    match fs::remove_file(previous) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e),
        _ => {}
    }
    fs::hard_link(path, previous).or_else(|_| fs::copy(path, previous).map(|_| ()))
}

#[cfg(test)]
mod tests {
    //! Physical behaviour of the disk: no outside source.
    use super::*;

    #[test]
    fn the_previous_version_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let inner = folder.path().join("made/for/this");
        write_all(&inner, &[("a.txt".to_owned(), "one".to_owned())]).unwrap();
        write_all(&inner, &[("a.txt".to_owned(), "two".to_owned())]).unwrap();
        assert_eq!(fs::read_to_string(inner.join("a.txt")).unwrap(), "two");
        assert_eq!(fs::read_to_string(inner.join("a.txt.prev")).unwrap(), "one");
        assert_eq!(fs::read_dir(&inner).unwrap().count(), 2, "no leftovers");
    }

    #[test]
    fn writing_the_same_again_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let files = [("a.txt".to_owned(), "one".to_owned())];
        write_all(folder.path(), &files).unwrap();
        write_all(folder.path(), &files).unwrap();
        assert!(!folder.path().join("a.txt.prev").exists());
    }

    #[test]
    fn a_file_in_the_way_of_the_folder_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("plain");
        fs::write(&file, "x").unwrap();
        let error = write_all(&file, &[("a".to_owned(), String::new())]).unwrap_err();
        assert!(error.to_string().contains("a file of that name"), "{error}");
        assert!(error.place_is_wrong());
    }
}
