//! The format line: `format = "narrows circuit 1"`.

use crate::{Complaint, Objection, Table};

/// Checks the format line of a root table. A missing line is noted as a missing key and
/// reading goes on; a wrong one is returned, because nothing else can be trusted.
pub(crate) fn check(root: &Table<'_>, kind: &str, version: u32) -> Result<(), Complaint> {
    let allowed = format!("\"{kind} {version}\"");
    let Some(item) = root.item("format") else {
        root.missing("format", &allowed);
        return Ok(());
    };
    let span = root.span_of("format");
    let Some(given) = item.as_str() else {
        let found = root.describe(item);
        let advice = format!("write format = {allowed}");
        return Err(Objection::new(found, allowed, advice).at(span));
    };
    let (found_kind, found_version) = split(given);
    let objection = match (found_kind == kind, found_version) {
        (true, Some(v)) if (1..=version).contains(&v) => return Ok(()),
        (true, Some(v)) if v > version => Objection::new(
            format!("version {v} of this format, newer than this program knows"),
            allowed,
            "read it with the newer program that wrote it",
        ),
        (true, _) => Objection::new(
            format!("the format \"{}\" without a version that exists", given),
            allowed.clone(),
            format!("write format = {allowed}"),
        ),
        (false, Some(_)) if found_kind.starts_with("narrows ") => Objection::new(
            format!("a file of the kind \"{found_kind}\""),
            allowed,
            format!("give a {kind} file here"),
        ),
        (false, _) => Objection::new(
            format!("the format \"{}\"", given),
            allowed.clone(),
            format!("write format = {allowed}"),
        ),
    };
    Err(objection.at(span))
}

/// Kind and version of a format text.
fn split(text: &str) -> (&str, Option<u32>) {
    match text.rsplit_once(' ') {
        Some((kind, version)) => match version.parse() {
            Ok(version) => (kind, Some(version)),
            Err(_) => (text, None),
        },
        None => (text, None),
    }
}
