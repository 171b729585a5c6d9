//! What can be doubtful about a drawer, one finding a file.
//!
//! Each file checks one thing and says what it checks, why it matters, what to do, and on whose
//! word. However long the drawer, a check names the first few rows and counts the rest.

mod drawer_dielectric_unfit;
mod drawer_doubles;
mod drawer_empty;
mod drawer_measured_off;
mod drawer_opamp_unknown;
mod drawer_value_doubted;

use crate::finding::Finding;
use parts::{Drawer, DrawerPart};

type Check = fn(&Drawer) -> Option<Finding>;

const CHECKS: &[Check] = &[
    drawer_dielectric_unfit::check,
    drawer_doubles::check,
    drawer_empty::check,
    drawer_measured_off::check,
    drawer_opamp_unknown::check,
    drawer_value_doubted::check,
];

/// Rows that are named; of further ones only the number is told.
const NAMED: usize = 6;

/// Runs every check; gravest findings first.
pub(crate) fn all(drawer: &Drawer) -> Vec<Finding> {
    let mut found: Vec<Finding> = CHECKS.iter().filter_map(|check| check(drawer)).collect();
    found.sort_by_key(|f| std::cmp::Reverse(f.severity));
    found
}

/// The first few of what was found, and how many more there are; `None` when there is none.
fn listed(found: impl Iterator<Item = String>) -> Option<String> {
    let mut found = found.fuse();
    let mut named: Vec<String> = found.by_ref().take(NAMED).collect();
    match found.count() {
        0 => {}
        more => named.push(format!("and {more} more")),
    }
    (!named.is_empty()).then(|| named.join("; "))
}

/// A row with its line.
fn place(part: &DrawerPart) -> String {
    format!("{part} (line {})", part.line)
}
