//! What the builder's rules leave to work with: the values on the shelf and the op-amp.

use crate::topology::{Refusal, Topology};
use crate::values::Shelf;
use crate::{Need, Section};
use parts::OpampModel;

/// Shelf and op-amp for one need.
pub(crate) struct Bench {
    pub(crate) shelf: Shelf,
    pub(crate) amplifier: OpampModel,
}

impl Bench {
    /// # Errors
    /// When a series is unknown or empty in its range, when no op-amp works at the supply,
    /// or none that does is fast enough for these sections.
    pub(crate) fn new(
        need: &Need,
        sections: &[Section],
        topologies: &[Topology],
    ) -> Result<Bench, Refusal> {
        let shelf = Shelf::from_rules(&need.parts)?;
        let mut why = None;
        for amplifier in need.parts.opamps.iter().filter(|a| works(need, a)) {
            match fast_enough(amplifier, sections, topologies) {
                Ok(()) => {
                    let amplifier = amplifier.clone();
                    return Ok(Bench { shelf, amplifier });
                }
                Err(refusal) => why = why.or(Some(refusal)),
            }
        }
        Err(why.unwrap_or_else(|| none_works(need)))
    }
}

fn fast_enough(
    amplifier: &OpampModel,
    sections: &[Section],
    topologies: &[Topology],
) -> Result<(), Refusal> {
    let mut stages = topologies.iter().zip(sections);
    stages.try_for_each(|(topology, section)| topology.fast_enough(section, 1.0, amplifier))
}

/// Whether the op-amp works from the flat to the fresh supply.
pub(crate) fn works(need: &Need, amplifier: &OpampModel) -> bool {
    let (least, most) = amplifier.supply_range;
    least.0 <= need.supply.lowest.0 && most.0 >= need.supply.voltage.0
}

fn none_works(need: &Need) -> Refusal {
    let ranges = need.parts.opamps.iter().map(|a| {
        format!(
            "{} from {} to {} V",
            a.name, a.supply_range.0.0, a.supply_range.1.0
        )
    });
    Refusal::new(format!(
        "no op-amp of the list works from {} to {} V ({}): list one that does",
        need.supply.lowest.0,
        need.supply.voltage.0,
        ranges.collect::<Vec<_>>().join(", ")
    ))
}
