//! What the builder's rules leave to work with: the values on the shelf and the op-amp.

use crate::need::everyday;
use crate::topology::{Cause, Refusal, Topology};
use crate::values::{Shelf, Stock};
use crate::{Need, PartRules, Section};
use parts::OpampModel;

/// Shelf and op-amp for one need.
pub(crate) struct Bench {
    pub(crate) shelf: Shelf,
    pub(crate) amplifier: OpampModel,
    /// Whether capacitors were measured, so that ties between equal ones are let go.
    pub(crate) measured: bool,
    /// What lies in the drawer, if there is one.
    pub(crate) stock: Option<Stock>,
    /// What is sold, whatever the drawer holds; `None` without a drawer.
    pub(crate) sold: Option<Shelf>,
}

/// What is sold.
fn sold(rules: &PartRules) -> Result<Shelf, Refusal> {
    Shelf::from_rules(&PartRules {
        drawer: None,
        ..rules.clone()
    })
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
        let drawer = need.parts.drawer.as_ref();
        let stock = drawer.and_then(|d| d.stock.as_ref());
        let measured = stock.is_some_and(Stock::has_measured_capacitors);
        let sold = stock.map(|_| sold(&need.parts)).transpose()?;
        let mut why = None;
        for amplifier in need.parts.opamps.iter().filter(|a| need.supply.feeds(a)) {
            match fast_enough(amplifier, sections, topologies) {
                Ok(()) => {
                    let amplifier = amplifier.clone();
                    return Ok(Bench {
                        shelf,
                        amplifier,
                        measured,
                        stock: stock.cloned(),
                        sold,
                    });
                }
                Err(refusal) => why = why.or(Some(refusal)),
            }
        }
        Err(why.unwrap_or_else(|| none_works(need)))
    }
}

impl Bench {
    /// The bench of one who goes by what is printed on the parts; `None` without a drawer.
    pub(crate) fn by_print(&self, rules: &PartRules) -> Option<Bench> {
        let stock = self.stock.as_ref()?.by_print();
        let sold = sold(rules).ok()?;
        Some(Bench {
            shelf: sold.beside(&stock),
            sold: Some(sold),
            amplifier: self.amplifier.clone(),
            measured: false,
            stock: Some(stock),
        })
    }
}

fn fast_enough(
    amplifier: &OpampModel,
    sections: &[Section],
    topologies: &[Topology],
) -> Result<(), Refusal> {
    let stages = topologies.iter().zip(sections);
    let verdicts = stages.map(|(topology, section)| topology.fast_enough(section, 1.0, amplifier));
    Refusal::gravest(verdicts.filter_map(Result::err)).map_or(Ok(()), Err)
}

/// Whether there is anything to work with: what every circuit for this need wants.
///
/// # Errors
/// When a series is unknown or empty in its range, or no op-amp works at the supply.
pub fn equipped(need: &Need) -> Result<(), Refusal> {
    Shelf::from_rules(&need.parts)?;
    if need.parts.opamps.iter().any(|a| need.supply.feeds(a)) {
        Ok(())
    } else {
        Err(none_works(need))
    }
}

fn none_works(need: &Need) -> Refusal {
    let supply = &need.supply;
    let misfits: Vec<String> = need.parts.opamps.iter().map(|a| supply.misfit(a)).collect();
    let (low, high) = (supply.lowest, supply.voltage);
    let instead = match everyday(supply) {
        Some(a) => format!(
            "list one that works from {low} to {high}, such as {}, or change the supply",
            a.name
        ),
        None => "change the supply".to_owned(),
    };
    Refusal::new(
        Cause::Supply,
        format!(
            "no op-amp of the list works on this supply: {}; {instead}",
            misfits.join("; ")
        ),
    )
}
