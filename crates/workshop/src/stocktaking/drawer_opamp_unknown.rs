//! An op-amp of which nothing is known.
//!
//! Checks the type of every op-amp against the parts data. Why: nothing can be worked out with
//! a type without data; and it may be a slip. Do: compare the marking. Source: the parts data.

use super::listed;
use crate::finding::{Finding, Severity};
use parts::{Drawer, DrawerItem, DrawerPart, find_opamp};

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    let text = listed(drawer.parts.iter().filter_map(unknown))?;
    Some(Finding {
        id: "drawer_opamp_unknown",
        severity: Severity::Note,
        text: format!("op-amps that are not in the parts data: {text}"),
        why: "nothing can be worked out with them; or it is a slip".to_owned(),
        remedy: "compare with what is printed on the package; in a circuit its numbers can be given inline".to_owned(),
        source: "the parts data",
    })
}

fn unknown(part: &DrawerPart) -> Option<String> {
    let DrawerItem::UnknownOpamp { name } = &part.item else {
        return None;
    };
    let meant = find_opamp(name).err()?.advice;
    let meant = meant.strip_prefix("write ").unwrap_or_default();
    let meant = meant.split(", or give").next().unwrap_or_default();
    Some(match meant {
        "" => format!("{name} (line {})", part.line),
        meant => format!("{name} (line {}; known is {meant})", part.line),
    })
}
