//! A drawer in which nothing lies.
//!
//! Checks whether any row holds a piece. Why: a plan that is to choose from the drawer would
//! have to buy everything. Do: add what there is. Source: none needed.

use crate::finding::{Finding, Severity};
use parts::Drawer;

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    (drawer.pieces() == 0).then(|| Finding {
        id: "drawer_empty",
        severity: Severity::Caution,
        text: match drawer.parts.len() {
            0 => "the drawer is empty: there is a heading and no row".to_owned(),
            rows => format!("the drawer is empty: of everything in its {rows} rows none is left"),
        },
        why: "a plan that is to choose from it would have to buy everything".to_owned(),
        remedy: "add what there is, such as --add \"resistor 4k7 1 % x20\"".to_owned(),
        source: "arithmetic",
    })
}
