//! A measured piece outside its own tolerance.
//!
//! Checks every measured piece against the printed value and tolerance. Why: either the meter,
//! the reading or the part is off, and a filter made with it is off by as much. Do: measure
//! again beside a piece that is known. Source: what a tolerance means [IEC-60062].

use super::listed;
use crate::finding::{Finding, Severity};
use parts::{Drawer, DrawerPart};

/// Room for the rounding of what was written down: the last of four digits.
const ROUNDING: f64 = 5e-4;

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    let text = listed(drawer.parts.iter().filter_map(off))?;
    Some(Finding {
        id: "drawer_measured_off",
        severity: Severity::Caution,
        text: format!("measured outside their tolerance: {text}"),
        why: "the meter, the reading or the part is off, and a filter made with it is off by as much".to_owned(),
        remedy: "measure it again beside a piece that is known; if it holds, use it by its measured value or not at all".to_owned(),
        source: "what a tolerance means",
    })
}

fn off(part: &DrawerPart) -> Option<String> {
    let (deviation, tolerance) = (part.deviation()?, part.tolerance?.0);
    let outside = deviation.abs() > tolerance + ROUNDING;
    outside.then(|| format!("{part}, {:+.1} % (line {})", 100.0 * deviation, part.line))
}
