//! Reading a text file whole, with a limit and a plain word when it cannot be.

use std::fmt;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Largest text file that is read: far above any need or circuit a person keeps.
const MOST_BYTES: u64 = 4 << 20;

/// Why a file could not be read.
#[derive(Debug)]
pub(crate) struct ReadFailure {
    path: String,
    what: String,
    remedy: &'static str,
}

impl fmt::Display for ReadFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.path, self.what, self.remedy)
    }
}

/// Largest drawer that is read: a million rows of sixty letters.
const MOST_DRAWER_BYTES: u64 = 64 << 20;

/// Reads a UTF-8 text file; a byte-order mark at its start is dropped.
///
/// # Errors
/// The file is missing, a folder, unreadable, over 4 MiB, or not UTF-8.
pub(crate) fn read_text(path: &Path) -> Result<String, ReadFailure> {
    let remedy =
        "a need or circuit file is a few kilobytes of text; check that this is the right file";
    let text = read_up_to(path, MOST_BYTES, remedy)?;
    Ok(text
        .strip_prefix('\u{feff}')
        .map_or(text.clone(), str::to_owned))
}

/// Reads a drawer, a UTF-8 text file, with the byte-order mark that spreadsheets like to write.
///
/// # Errors
/// The file is missing, a folder, unreadable, over 64 MiB, or not UTF-8.
pub(crate) fn read_drawer(path: &Path) -> Result<String, ReadFailure> {
    let remedy = "a drawer of a million rows is shorter; check that this is the right file";
    read_up_to(path, MOST_DRAWER_BYTES, remedy)
}

fn read_up_to(path: &Path, most: u64, too_long: &'static str) -> Result<String, ReadFailure> {
    let fail = |what: String, remedy| ReadFailure {
        path: path.display().to_string(),
        what,
        remedy,
    };
    let file = File::open(path)
        .map_err(|e| fail(plain(&e), "give the path of a text file that can be read"))?;
    if file.metadata().is_ok_and(|m| m.is_dir()) {
        return Err(fail(
            "this is a folder".to_owned(),
            "give the path of one text file",
        ));
    }
    let mut bytes = Vec::new();
    file.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| fail(plain(&e), "give the path of a text file that can be read"))?;
    if bytes.len() as u64 > most {
        let what = format!("it is longer than {} MiB", most >> 20);
        return Err(fail(what, too_long));
    }
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        fail(
            format!("byte {at} is not UTF-8 text"),
            "save the file as plain UTF-8 text",
        )
    })
}

fn plain(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::PermissionDenied => "reading it is not permitted".to_owned(),
        ErrorKind::IsADirectory => "this is a folder".to_owned(),
        _ => error.to_string(),
    }
}
