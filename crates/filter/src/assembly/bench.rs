//! What the builder's rules leave to work with: the values on the shelf and the op-amp.

use crate::Need;
use crate::topology::Refusal;
use crate::values::Shelf;
use parts::OpampModel;

/// Shelf and op-amp for one need.
pub(crate) struct Bench {
    pub(crate) shelf: Shelf,
    pub(crate) amplifier: OpampModel,
}

impl Bench {
    /// # Errors
    /// When the series is unknown or empty in its range, or no op-amp works at the supply.
    pub(crate) fn new(need: &Need) -> Result<Bench, Refusal> {
        Ok(Bench {
            shelf: Shelf::from_rules(&need.parts)?,
            amplifier: amplifier(need)?.clone(),
        })
    }
}

/// The first of the builder's op-amps that works from the flat to the fresh supply.
fn amplifier(need: &Need) -> Result<&OpampModel, Refusal> {
    let (low, high) = (need.supply.lowest, need.supply.voltage);
    let works = |a: &&OpampModel| a.supply_range.0.0 <= low.0 && a.supply_range.1.0 >= high.0;
    need.parts.opamps.iter().find(works).ok_or_else(|| {
        let ranges = need.parts.opamps.iter().map(|a| {
            format!(
                "{} from {} to {} V",
                a.name, a.supply_range.0.0, a.supply_range.1.0
            )
        });
        Refusal::new(format!(
            "no op-amp of the list works from {} to {} V ({}): list one that does",
            low.0,
            high.0,
            ranges.collect::<Vec<_>>().join(", ")
        ))
    })
}
