//! All values of a circuit judged together, with its real op-amps, and exchanged.
//!
//! Stage by stage the values of a design are the best there are for that stage; what remains of
//! their errors adds up, and the op-amps add theirs. Here the resistors of all stages are moved to
//! neighbouring values, one and two at a time, as long as the whole circuit comes nearer to the
//! response it was designed for ([`filter::swaps::polish`]).
//!
//! What counts is measured on the circuit: centre and width of the band, both ways; neighbours
//! that come up and a tail that grows; gain at the pitch. An error of 1 is what a listener would
//! just call a miss ([`crate::slack`]), and the centre is off by 1 at a fiftieth of the width.

use super::candidate::{Tried, ranked};
use super::spare::Spare;
use crate::slack;
use crate::wishes::Wishes;
use circuit::system::System;
use circuit::variants::{Gauge, Question, Reading, Variants};
use circuit::{Circuit, Element};
use filter::bandpass::BandResponse;
use filter::swaps::{Place, Swap, Verdict, error, polish};
use filter::values::Shelf;
use filter::{Need, Neighbour, Section};
use serde::Serialize;
use std::fmt;
use units::{Decibels, Ohms, Quantity};

/// Half power, dB.
const HALF: f64 = 3.010_299_956_639_812;

/// An exchange is worth having when it lessens the error by this share,
const WORTH: f64 = 0.1;

/// ... and by this many misses that are just noticed.
const NOTICED: f64 = 0.25;

/// What an exchange of values over the whole circuit brought.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Polish {
    /// The values exchanged.
    pub swaps: Vec<PolishedPart>,
    /// Distance from the response designed for, in misses that are just noticed, as the values
    /// were stage by stage.
    pub error_before: f64,
    /// The same after the exchange.
    pub error_after: f64,
    /// Centre before, Hz.
    pub centre_before_hz: Option<f64>,
    /// Centre after, Hz.
    pub centre_after_hz: Option<f64>,
    /// Full width 6 dB down before, Hz.
    pub width_6db_before_hz: Option<f64>,
    /// The same after, Hz.
    pub width_6db_after_hz: Option<f64>,
}

/// One part whose value was exchanged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PolishedPart {
    /// Its reference.
    #[serde(rename = "ref")]
    pub reference: String,
    /// Its value before.
    #[serde(rename = "from_ohm")]
    pub from: f64,
    /// Its value after.
    #[serde(rename = "to_ohm")]
    pub to: f64,
}

/// What the circuit was designed to do.
struct Target {
    centre_hz: f64,
    width_hz: f64,
    down_db: Vec<f64>,
    tail_s: f64,
    gain_db: f64,
}

impl Target {
    /// `None` for a response that has no band.
    fn of(need: &Need, sections: &[Section]) -> Option<Self> {
        let listening = &need.listening;
        let response = BandResponse::new(sections, listening.pitch);
        let [Some(low), Some(high)] = response.edges(Decibels(HALF)) else {
            return None;
        };
        let width_hz = response.width(Decibels(6.0)).si();
        let down = |n: &Neighbour| response.neighbour_down(n.offset).si();
        width_hz.is_finite().then(|| Target {
            centre_hz: (low.si() * high.si()).sqrt(),
            width_hz,
            down_db: listening.neighbours.iter().map(down).collect(),
            tail_s: response.tail(Decibels(20.0)).si(),
            gain_db: need.levels.gain.si(),
        })
    }

    /// What a reading misses, each in units that are just noticed; `None` without a band.
    fn residuals(&self, reading: &Reading) -> Option<Vec<f64>> {
        let centre = (reading.centre_hz? - self.centre_hz) / (slack::WIDTH * self.width_hz);
        let width = (reading.width_6db_hz? / self.width_hz - 1.0) / slack::WIDTH;
        let tail = (reading.tail_20db_s? / self.tail_s - 1.0) / slack::TAIL;
        let gain = (reading.gain_at_pitch_db - self.gain_db) / slack::GAIN_DB;
        let mut all = vec![centre, width, tail.max(0.0), gain];
        let down = reading.down_db.iter().zip(&self.down_db);
        all.extend(down.map(|(found, wanted)| (wanted - found).max(0.0) / slack::NEIGHBOUR_DB));
        Some(all)
    }
}

/// The candidate with its values exchanged and ranked anew, or as it was where too little is
/// gained; either way it tells how far the whole circuit is from what it was designed for.
#[must_use]
pub(crate) fn polished(need: &Need, wishes: &Wishes, mut tried: Tried) -> Tried {
    let Some((circuit, polish)) = exchanged(need, &tried.sections, &tried.circuit) else {
        return tried;
    };
    let stay = Polish {
        swaps: Vec::new(),
        error_after: polish.error_before,
        centre_after_hz: polish.centre_before_hz,
        width_6db_after_hz: polish.width_6db_before_hz,
        ..polish.clone()
    };
    let better = polish.is_worth_it().then(|| ranked(need, wishes, &circuit));
    match better {
        Some(Ok((circuit, gist, score))) if score.shortfall <= tried.score.shortfall => {
            tried.notes.push(polish.to_string());
            Tried {
                circuit,
                gist,
                score,
                polish: Some(polish),
                ..tried
            }
        }
        _ => Tried {
            polish: Some(stay),
            ..tried
        },
    }
}

impl Polish {
    fn is_worth_it(&self) -> bool {
        let gained = self.error_before - self.error_after;
        gained > WORTH * self.error_before && gained > NOTICED
    }
}

impl fmt::Display for Polish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let swap = |p: &PolishedPart| format!("{} {} → {}", p.reference, Ohms(p.from), Ohms(p.to));
        let swaps: Vec<String> = self.swaps.iter().map(swap).collect();
        write!(
            f,
            "all stages judged together with their op-amps, {} exchanged: {} — from {:.1} to {:.1} \
             times a miss that is just noticed",
            if swaps.len() == 1 {
                "one value was"
            } else {
                "some values were"
            },
            swaps.join(", "),
            self.error_before,
            self.error_after
        )
    }
}

/// The circuit with the values found, and what they brought; `None` for one without a band, or
/// that cannot be analysed.
fn exchanged(need: &Need, sections: &[Section], circuit: &Circuit) -> Option<(Circuit, Polish)> {
    let target = Target::of(need, sections)?;
    let shelf = Shelf::from_rules(&need.parts).ok()?;
    let system = System::build(circuit).ok()?;
    let spare = Spare::of(need, &shelf, circuit);
    let places = places(circuit, &system, &spare);
    let gauge = Gauge::new(circuit, &system, &question(need)).ok()?;
    let judge = |variants: &Variants| -> Vec<Verdict> {
        let read = gauge.read(variants).into_iter();
        read.map(|r| target.residuals(&r?)).collect()
    };
    let best = polish(&places, &spare.stock(), &judge)?;
    let (variants, readings) = before_and_after(&gauge, &places, &best.swaps)?;
    let [was, is] = readings;
    let polish = Polish {
        swaps: swapped(circuit, &system, &places, &best.swaps),
        error_before: error(&target.residuals(&was)?),
        error_after: best.error,
        centre_before_hz: was.centre_hz,
        centre_after_hz: is.centre_hz,
        width_6db_before_hz: was.width_6db_hz,
        width_6db_after_hz: is.width_6db_hz,
    };
    Some((variants.soldered(1, circuit, &system), polish))
}

fn before_and_after(
    gauge: &Gauge<'_>,
    places: &[Place],
    swaps: &[Swap],
) -> Option<(Variants, [Reading; 2])> {
    let mut variants = Variants::of(places.iter().map(|p| p.parameter).collect());
    let mut values: Vec<f64> = places.iter().map(|p| p.now).collect();
    variants.push(&values).ok()?;
    for swap in swaps {
        values[swap.place] = swap.to;
    }
    variants.push(&values).ok()?;
    let readings = gauge
        .read(&variants)
        .into_iter()
        .collect::<Option<Vec<_>>>()?;
    Some((variants, readings.try_into().ok()?))
}

fn question(need: &Need) -> Question {
    let offset = |n: &Neighbour| n.offset.si();
    Question {
        pitch_hz: need.listening.pitch.si(),
        offsets_hz: need.listening.neighbours.iter().map(offset).collect(),
    }
}

fn swapped(
    circuit: &Circuit,
    system: &System,
    places: &[Place],
    swaps: &[Swap],
) -> Vec<PolishedPart> {
    let one = |swap: &Swap| {
        let place = &places[swap.place];
        let part = system.parameters()[place.parameter].part;
        PolishedPart {
            reference: circuit.parts[part].reference.clone(),
            from: place.now,
            to: swap.to,
        }
    };
    swaps.iter().map(one).collect()
}

/// Resistors of the filter's stages, with the values they may take.
fn places(circuit: &Circuit, system: &System, spare: &Spare) -> Vec<Place> {
    let stage = |k: usize| circuit.parts[k].stage.as_deref();
    let numbered = |k: usize| stage(k).is_some_and(|s| s.parse::<usize>().is_ok());
    let all = system.parameters().iter().enumerate();
    all.filter(|(_, p)| {
        let part = &circuit.parts[p.part];
        matches!(part.element, Element::Resistor { .. }) && numbered(p.part)
    })
    .map(|(parameter, p)| Place {
        parameter,
        now: p.value,
        candidates: spare.candidates(p.value),
        price: 1.0,
    })
    .collect()
}

#[cfg(test)]
mod tests {
    //! Order of trust: a second route to every figure, then invariants of the exchange.
    use super::*;
    use crate::planning::{Build, attempt, responses};
    use filter::topology::PlaceKind;

    const NEED: &str = include_str!("../../../../examples/attic/need.toml");

    /// A design of the shipped need whose stages leave something to gain, and what is gained.
    fn with_nulls() -> (Need, Wishes, Tried) {
        let need = filter::need::read("need.toml", NEED).expect("the shipped need reads");
        let wishes = Wishes::of_need(&need);
        let (all, _) = responses(&need);
        let nulls = |r: &&crate::planning::Response| r.family.contains("nulls") && r.stages == 3;
        let response = all.iter().find(nulls).expect("calm with nulls");
        let tried = attempt(&need, &wishes, response, Build::MultipleFeedback);
        let tried = tried.unwrap_or_else(|(_, why)| panic!("{why}"));
        (need, wishes, tried)
    }

    /// Two routes: the errors from a study of each circuit on its own.
    #[test]
    fn the_error_told_is_that_of_the_circuit() {
        let (need, wishes, tried) = with_nulls();
        let target = Target::of(&need, &tried.sections).expect("a band");
        let studied = |tried: &Tried| {
            let (response, ringing) = (&tried.gist.response, &tried.gist.ringing);
            let reading = Reading {
                gain_at_pitch_db: response.gain_at_pitch_db,
                peak_db: response.peak_db,
                peak_hz: response.peak_hz,
                centre_hz: response.centre_hz,
                width_3db_hz: response.width_3db_hz,
                width_6db_hz: response.width_6db_hz,
                down_db: tried.gist.neighbours.iter().map(|n| n.down_db).collect(),
                tail_20db_s: ringing.tail_20db_s,
            };
            error(&target.residuals(&reading).expect("a band"))
        };
        let before = studied(&tried);
        let after = polished(&need, &wishes, tried);
        let told = after.polish.clone().expect("a polish");
        assert!(
            (told.error_before - before).abs() < 0.02,
            "{before}: {told:?}"
        );
        assert!(
            (told.error_after - studied(&after)).abs() < 0.02,
            "{told:?}"
        );
        assert!(told.error_after < 0.5 * told.error_before, "{told:?}");
        assert!(!told.swaps.is_empty());
    }

    /// Invariant: every value exchanged stands on the shelf, and no single value moved to its
    /// neighbour on the shelf does better still.
    #[test]
    fn no_single_exchange_does_better() {
        let (need, wishes, tried) = with_nulls();
        let done = polished(&need, &wishes, tried);
        let (_, again) = exchanged(&need, &done.sections, &done.circuit).expect("a band");
        assert_eq!(again.swaps, []);
        let shelf = Shelf::from_rules(&need.parts).expect("a shelf");
        for swap in done.polish.expect("a polish").swaps {
            let on = shelf.all(PlaceKind::Resistor);
            assert!(
                on.iter().any(|v| (v / swap.to - 1.0).abs() < 1e-9),
                "{swap:?}"
            );
        }
    }
}
