//! An answer as it is told: the swaps, the figures before and after, and what got worse.

use super::bench::Bench;
use super::refit::{Change, refit, told as make, written as short};
use super::shelf::Shelves;
use super::worse::worse;
use crate::examine::examine;
use crate::report::{CheckReport, Neighbour};
use crate::wishes::Wishes;
use circuit::{Circuit, Element};
use filter::retune::Miss;
use filter::swaps::{Place, Swaps};
use serde::Serialize;

/// The figures that are set side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figures {
    /// The pitch they hold for.
    pub pitch_hz: f64,
    /// Geometric mean of the half-power edges.
    pub centre_hz: Option<f64>,
    /// Full width 6 dB down.
    pub width_6db_hz: Option<f64>,
    /// Gain at the pitch.
    pub gain_at_pitch_db: f64,
    /// Gain at the peak.
    pub peak_db: f64,
    /// Tail after key-up, 20 dB down.
    pub tail_20db_s: Option<f64>,
    /// How far neighbours of the pitch are down.
    pub neighbours: Vec<Neighbour>,
}

/// One part changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwapTold {
    /// The part.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its value now, as on a schematic; reads back to the same number.
    pub from: String,
    /// Its new value.
    pub to: String,
    /// Which piece of the drawer it is where that was measured; otherwise its tolerance and
    /// dielectric, where they are not those of the part that goes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    /// Line of the drawer's file, for a part from the drawer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
}

/// How far an answer is from what is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ErrorTold {
    /// Centre above the wanted.
    pub centre_hz: f64,
    /// Width above the wanted.
    pub width_6db_hz: f64,
    /// Gain above the wanted.
    pub gain_db: f64,
    /// How far the shape is off, 1 being what a listener begins to notice.
    pub shape: f64,
    /// All of it together, by the same measure.
    pub total: f64,
}

impl From<Miss> for ErrorTold {
    fn from(miss: Miss) -> Self {
        ErrorTold {
            centre_hz: miss.centre_hz,
            width_6db_hz: miss.width_hz,
            gain_db: miss.gain_db,
            shape: miss.shape,
            total: miss.total,
        }
    }
}

/// One answer.
#[derive(Debug, Clone, Serialize)]
pub struct Offer {
    /// The parts to change, in the order of the file.
    pub swaps: Vec<SwapTold>,
    /// What they cost together.
    pub price: f64,
    /// Whether nothing of this price is better: all of it was measured.
    pub proven: bool,
    /// Whether centre, width and gain all come as near as a listener notices.
    pub meets: bool,
    /// How far it is from what is wanted.
    pub error: ErrorTold,
    /// The figures it gives.
    pub figures: Figures,
    /// What got worse, in words.
    pub worse: Vec<String>,
    /// Everything `check` says about it.
    pub check: CheckReport,
    #[serde(skip)]
    pub(crate) changes: Vec<Change>,
}

/// An answer has to come nearer by this share than a cheaper one to be worth its swaps.
const WORTH: f64 = 0.9;
/// Most answers that are told.
const MOST: usize = 10;

/// The figures of a report.
pub(crate) fn figures(report: &CheckReport) -> Figures {
    Figures {
        pitch_hz: report.pitch_hz,
        centre_hz: report.response.centre_hz,
        width_6db_hz: report.response.width_6db_hz,
        gain_at_pitch_db: report.response.gain_at_pitch_db,
        peak_db: report.response.peak_db,
        tail_20db_s: report.ringing.tail_20db_s,
        neighbours: report.neighbours.clone(),
    }
}

/// The answers worth telling, cheapest first, each examined; those that do not work at rest are
/// left out, and told in `unsound`.
pub(crate) fn offers(
    bench: &Bench<'_>,
    (places, shelves): (&[Place], &Shelves),
    found: &[Swaps],
    wishes: &Wishes,
    before: &CheckReport,
    unsound: &mut Vec<String>,
) -> Vec<Offer> {
    let mut nearest = f64::INFINITY;
    let mut offers = Vec::new();
    for swaps in found.iter().filter(|s| !s.swaps.is_empty()) {
        if swaps.error > WORTH * nearest || offers.len() == MOST {
            continue;
        }
        match offer(bench, (places, shelves), swaps, wishes, before) {
            Ok(offer) => {
                nearest = swaps.error;
                offers.push(offer);
            }
            Err(why) => unsound.push(why),
        }
    }
    offers
}

/// One answer, examined.
///
/// # Errors
/// Why it does not work.
pub(crate) fn offer(
    bench: &Bench<'_>,
    (places, shelves): (&[Place], &Shelves),
    swaps: &Swaps,
    wishes: &Wishes,
    before: &CheckReport,
) -> Result<Offer, String> {
    let (circuit, told, changes) = swapped(bench, (places, shelves), swaps);
    let names = |swap: &SwapTold| format!("{}: {} → {}", swap.reference, swap.from, swap.to);
    let listed = || told.iter().map(names).collect::<Vec<_>>().join(", ");
    let check = examine(&circuit, wishes, None).map_err(|e| format!("{}: {e}", listed()))?;
    if let Some(why) = check.withheld {
        return Err(format!("{}: {why}", listed()));
    }
    let miss = bench.wanted.miss(&swaps.residuals);
    Ok(Offer {
        price: swaps.price,
        proven: swaps.proven,
        meets: swaps.residuals[..3].iter().all(|r| r.abs() <= 1.0),
        error: miss.into(),
        figures: figures(&check),
        worse: worse(&bench.wanted, before, &check, &told),
        swaps: told,
        check,
        changes,
    })
}

/// The circuit with the swaps made, how they are told, and what they write.
fn swapped(
    bench: &Bench<'_>,
    (places, shelves): (&[Place], &Shelves),
    swaps: &Swaps,
) -> (Circuit, Vec<SwapTold>, Vec<Change>) {
    let mut circuit = bench.circuit.clone();
    let mut told = Vec::new();
    let mut changes = Vec::new();
    let mut hands = shelves.hands();
    for swap in &swaps.swaps {
        let parameter = &bench.system.parameters()[places[swap.place].parameter];
        let index = parameter.part;
        let old = &bench.circuit.parts[index];
        circuit.set(parameter, swap.to);
        let row = hands.take(&old.element, swap.to);
        refit(&mut circuit.parts[index], row);
        let new = &circuit.parts[index];
        let to = written(&new.element);
        told.push(SwapTold {
            reference: old.reference.clone(),
            from: written(&old.element),
            to: to.clone(),
            piece: make(old, new, row),
            line: row.map(|row| row.line),
        });
        changes.push(Change::new(index, to, old, new));
    }
    (circuit, told, changes)
}

/// The value of a part as on a schematic, with all its digits where four are too few.
fn written(element: &Element) -> String {
    match element {
        Element::Resistor { value, .. } => short(*value),
        Element::Capacitor { value, .. } => short(*value),
        other => other.kind().to_owned(),
    }
}
