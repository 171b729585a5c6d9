//! The op-amp types a need lists, and whether they work on its supply.

use super::Supply;
use super::assume::{self, Assumptions};
use document::{Objection, Table};
use parts::OpampModel;

/// The types listed under `opamps`; `None` when the list is left out or no name in it is known.
pub(super) fn amplifiers(
    table: &Table<'_>,
    supply: Option<&Supply>,
    told: &mut Assumptions,
) -> Option<Vec<OpampModel>> {
    let names = table.texts("opamps").optional()?;
    if names.is_empty() {
        table.complain(
            "opamps",
            Objection::new(
                "an empty list",
                "one or more op-amp types",
                "write opamps = [\"TL072\"]",
            ),
        );
    }
    let mut models = Vec::new();
    for name in names {
        match parts::find_opamp(name.value) {
            Ok(model) if model.is_ideal() => table.complain_at(
                name.span,
                Objection::new(
                    "the textbook op-amp",
                    "types that can be bought",
                    "write opamps = [\"TL072\"]; ideal op-amps are for circuits you type in",
                ),
            ),
            Ok(model) => models.push(model.clone()),
            Err(objection) => table.complain_at(name.span, objection),
        }
    }
    if let Some(supply) = supply {
        fed(table, supply, &models, told);
    }
    (!models.is_empty()).then_some(models)
}

/// Refuses a list of which no type works on the supply; tells which of another list are left aside.
fn fed(table: &Table<'_>, supply: &Supply, models: &[OpampModel], told: &mut Assumptions) {
    let unfed: Vec<String> = models
        .iter()
        .filter(|m| !supply.feeds(m))
        .map(|m| supply.misfit(m))
        .collect();
    if unfed.is_empty() {
        return;
    }
    let (unfed, all) = (unfed.join("; "), unfed.len() == models.len());
    let span = format!("{} to {}", supply.lowest, supply.voltage);
    if !all {
        told.note(&format!("the other op-amps of the list: {unfed}"));
        return;
    }
    let advice = assume::opamp(supply).map_or_else(
        || "change the supply: no type of the parts data works on this one".to_owned(),
        |m| format!("write opamps = [\"{}\"], or change the supply", m.name),
    );
    table.complain(
        "opamps",
        Objection::new(
            format!("no op-amp for this supply: {unfed}"),
            format!("at least one type that works from {span}"),
            advice,
        ),
    );
}
