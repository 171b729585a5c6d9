//! Who judges the swaps of one circuit.

use crate::retune::{RetuneRequest, WidthWish};
use circuit::Circuit;
use circuit::system::System;
use circuit::variants::Variants;
use filter::retune::{Aim, Band, Onlooker, Travel, Wanted, Width};
use filter::swaps::{Place, Verdict};
use units::Quantity;

/// A circuit, looked at, and what is wanted of it.
pub(crate) struct Bench<'a> {
    pub(crate) circuit: &'a Circuit,
    pub(crate) system: &'a System,
    pub(crate) eyes: Onlooker<'a>,
    pub(crate) old: Band,
    pub(crate) old_gain_db: f64,
    pub(crate) wanted: Wanted,
}

/// A part that moves no residual by this much from one end of its values to the other is idle.
const IDLE: f64 = 0.1;

impl<'a> Bench<'a> {
    /// # Errors
    /// A sentence when the circuit has no band to retune.
    pub(crate) fn new(
        circuit: &'a Circuit,
        system: &'a System,
        request: &RetuneRequest,
    ) -> Result<Self, String> {
        let told = |e: circuit::system::Unsolvable| e.to_string();
        let near = Onlooker::new(circuit, system, Travel::towards(1.0, 1.0)).map_err(told)?;
        let old = near.bands(&Variants::nominal(system))[0].ok_or(
            "the response has no band between half-power edges from 20 Hz to 20 kHz; retune moves \
             such a band, and a circuit that is a low-pass or a high-pass alone has none",
        )?;
        let aim = Aim {
            pitch_hz: request.pitch.map(|f| f.si()),
            width: match request.width {
                None => Width::Same,
                Some(WidthWish::InProportion) => Width::InProportion,
                Some(WidthWish::Hertz(f)) => Width::Hertz(f.si()),
            },
            gain_db: request.gain.map(|g| g.si()),
        };
        let wanted = Wanted::carried(old, &aim, |f| near.gains_db(f));
        let travel = Travel::towards(
            wanted.pitch_hz / old.centre_hz,
            wanted.width_hz / old.width_hz,
        );
        Ok(Bench {
            circuit,
            system,
            old,
            old_gain_db: near.gains_db(&[old.centre_hz])[0],
            eyes: Onlooker::new(circuit, system, travel).map_err(told)?,
            wanted,
        })
    }

    /// The judge of [`filter::swaps`].
    pub(crate) fn judge(&self, variants: &Variants) -> Vec<Verdict> {
        let looks = self.eyes.looks(variants, &self.wanted).into_iter();
        looks
            .map(|look| look.map(|l| self.wanted.residuals(&l)))
            .collect()
    }

    /// Which places do next to nothing from end to end.
    pub(crate) fn idle(&self, places: &[Place]) -> Vec<bool> {
        let mut variants = Variants::of(places.iter().map(|p| p.parameter).collect());
        let now: Vec<f64> = places.iter().map(|p| p.now).collect();
        variants.push(&now).expect("values above zero");
        for (k, place) in places.iter().enumerate() {
            for end in [place.reach().0, place.reach().1] {
                let mut row = now.clone();
                row[k] = end;
                variants.push(&row).expect("values above zero");
            }
        }
        let verdicts = self.judge(&variants);
        let Some(now) = &verdicts[0] else {
            return vec![false; places.len()];
        };
        let moved = |verdict: &Verdict| {
            verdict.as_ref().is_none_or(|residuals| {
                let pairs = residuals.iter().zip(now);
                pairs.map(|(a, b)| (a - b) * (a - b)).sum::<f64>().sqrt() > IDLE
            })
        };
        verdicts[1..]
            .chunks(2)
            .map(|ends| !ends.iter().any(moved))
            .collect()
    }
}
