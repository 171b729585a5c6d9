//! One circuit set up for trials: its parts, its meter and its limits.

use super::limits::{Limit, limits, verdict};
use super::report::Yield;
use crate::wishes::Wishes;
use ::spread::{Builds, Figure, Judge, Lot, Meter, StageSlopes, Stopped, Tally, Treatment, Trials};
use circuit::Circuit;
use circuit::figures::Study;
use circuit::system::System;
use circuit::variants::Question;
use units::Quantity;

/// A circuit set up for trials.
pub(crate) struct Bench<'a> {
    pub(crate) circuit: &'a Circuit,
    pub(crate) builds: &'a Builds,
    pub(crate) meter: Meter<'a>,
    pub(crate) slopes: StageSlopes,
    /// Resonances near the pitch: what there is to trim.
    pub(crate) resonances: usize,
    pub(crate) limits: Vec<Limit>,
    /// Figures with the printed values.
    pub(crate) nominal: Vec<f64>,
}

impl<'a> Bench<'a> {
    /// Sets a circuit up.
    ///
    /// # Errors
    /// A sentence that says why it cannot be analysed.
    pub(crate) fn new(
        circuit: &'a Circuit,
        system: &'a System,
        builds: &'a Builds,
        wishes: &Wishes,
    ) -> Result<Self, String> {
        if builds.lot.places.is_empty() {
            return Err("no part of this circuit has a value that could differ".to_owned());
        }
        let pitch_hz = wishes.pitch.si();
        let question = Question {
            pitch_hz,
            offsets_hz: wishes.neighbours.iter().map(|n| n.offset.si()).collect(),
        };
        let meter = Meter::new(circuit, system, builds, &question).map_err(|e| e.to_string())?;
        let nominal = meter.read(&vec![1.0; builds.lot.places.len()]);
        let own = |figure: Figure| nominal[figure.place()];
        let band = match (own(Figure::Centre), own(Figure::Width3db)) {
            (centre, width) if centre.is_finite() && width.is_finite() => (centre, width),
            // No band: about the pitch, as wide as a single resonance of Q 3.
            _ => (pitch_hz, pitch_hz / 3.0),
        };
        let slopes = StageSlopes::take(circuit, system, builds, band).map_err(|e| e.to_string())?;
        let study = Study::new(circuit, system).map_err(|e| e.to_string())?;
        let near = |f: f64| (0.5..2.0).contains(&(f / band.0));
        let rings = |p: &&circuit::poles::Root| p.q > Some(0.5) && near(p.f_hz);
        Ok(Bench {
            circuit,
            builds,
            slopes,
            resonances: study.poles().iter().filter(rings).count(),
            limits: limits(wishes, &nominal),
            meter,
            nominal,
        })
    }

    /// Trials of this circuit.
    pub(crate) fn trials<'t>(
        &self,
        lot: &'t Lot,
        treatments: &'t [Treatment],
        seed: u64,
        count: u64,
    ) -> Trials<'t> {
        Trials {
            lot,
            treatments,
            seed,
            count,
        }
    }

    /// Makes them; `go_on` is told how many are done.
    pub(crate) fn run(
        &self,
        lot: &Lot,
        treatments: &[Treatment],
        seed: u64,
        count: u64,
        go_on: impl FnMut(u64) -> bool,
    ) -> Result<Tally, Stopped> {
        let evaluate = |ratios: &[f64]| self.meter.read(ratios);
        let judge = Judge {
            figures: self.meter.figures().len(),
            evaluate: &evaluate,
            verdict: &|figures| verdict(&self.limits, figures),
        };
        self.trials(lot, treatments, seed, count).run(&judge, go_on)
    }
}

impl Yield {
    pub(crate) fn of(tally: &Tally) -> Self {
        let (share_least, share_most) = tally.sure_within();
        Yield {
            share: tally.share(),
            share_least,
            share_most,
            trials: tally.trials,
        }
    }
}
