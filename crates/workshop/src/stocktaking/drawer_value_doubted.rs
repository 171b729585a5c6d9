//! A value out of the ordinary.
//!
//! Checks every printed value against what audio circuits take. Why: a slip of a thousand
//! between nF and pF is quickly written and kills a board. Do: compare with the part. Source:
//! [OAFE, §16.8.3]; common practice.

use super::listed;
use crate::finding::{Finding, Severity};
use parts::{Doubt, Drawer, DrawerItem, DrawerPart, PartValue, suspicion};

pub(super) fn check(drawer: &Drawer) -> Option<Finding> {
    let doubts = || drawer.parts.iter().filter_map(|p| Some((p, doubt(p)?)));
    let slipped = doubts().any(|(_, doubt)| doubt.instead.is_some());
    let text = listed(doubts().map(|(part, doubt)| format!("line {}: {doubt}", part.line)))?;
    Some(Finding {
        id: "drawer_value_doubted",
        severity: if slipped {
            Severity::Caution
        } else {
            Severity::Note
        },
        text,
        why: "a slip of a thousand between nF and pF is quickly written and kills a board"
            .to_owned(),
        remedy: "compare with what is printed on the part".to_owned(),
        source: "[OAFE, §16.8.3]: capacitors of 1 nF and more; common practice",
    })
}

fn doubt(part: &DrawerPart) -> Option<Doubt> {
    let value = match part.item {
        DrawerItem::Resistor { value, .. } | DrawerItem::Pot { value } => {
            PartValue::Resistance(value)
        }
        DrawerItem::Capacitor { value, .. } => PartValue::Capacitance(value),
        DrawerItem::Inductor { value, .. } => PartValue::Inductance(value),
        _ => return None,
    };
    suspicion(value, None)
}
