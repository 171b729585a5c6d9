//! One sort of part in two rows.
//!
//! Checks for rows of the same kind, value, tolerance and dielectric that were not measured.
//! Why: each row counts only some of them, and a change made to one misses the other.
//! Do: make one row of them. Source: common practice.

use super::{listed, place};
use crate::finding::{Finding, Severity};
use parts::{Drawer, DrawerPart};

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    let heaps = drawer.parts.iter().filter(|p| p.item.measured().is_none());
    let mut heaps: Vec<&DrawerPart> = heaps.collect();
    heaps.sort_by(|a, b| {
        let kinds = a.item.kind().cmp(b.item.kind());
        let value = |p: &DrawerPart| p.item.printed().unwrap_or(0.0);
        let tolerance = |p: &DrawerPart| p.tolerance.map_or(0.0, |t| t.0);
        let made_of = |p: &DrawerPart| p.item.dielectric().map(parts::Dielectric::word);
        kinds
            .then(a.item.name().cmp(&b.item.name()))
            .then(made_of(a).cmp(&made_of(b)))
            .then(tolerance(a).total_cmp(&tolerance(b)))
            .then(value(a).total_cmp(&value(b)))
            .then(a.line.cmp(&b.line))
    });
    let same = |a: &DrawerPart, b: &DrawerPart| a.tolerance == b.tolerance && a.item.alike(&b.item);
    let doubles = heaps.windows(2).filter(|pair| same(pair[0], pair[1]));
    let text = listed(doubles.map(|pair| format!("{} and line {}", place(pair[0]), pair[1].line)))?;
    Some(Finding {
        id: "drawer_doubles",
        severity: Severity::Note,
        text: format!("the same parts in two rows: {text}"),
        why: "each row counts only some of them, and a change made to one misses the other"
            .to_owned(),
        remedy:
            "make one row of them with the sum of their quantities; --count puts what was counted \
                 into the first and 0 into the others"
                .to_owned(),
        source: "common practice",
    })
}
