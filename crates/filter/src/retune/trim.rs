//! One resistor in every stage that brings a built circuit back to its pitch.
//!
//! A filter measured off its pitch has capacitors that are all off by about the same share (one
//! make, one bag: common practice), and `f ∝ 1/C`. The circuit is taken with its capacitors so,
//! and in every stage the resistor is looked for that restores the designed response with the
//! least harm to it, its value free to vary. A lesser value is a second resistor in parallel,
//! `Rp = R R'/(R − R')`; a greater one is a resistor in series, `Rs = R' − R`.

use super::{Aim, Miss, Onlooker, Travel, Wanted, Width};
use crate::swaps::{Place, best_free, slopes};
use circuit::system::{Property, System, Unsolvable};
use circuit::variants::Variants;
use circuit::{Circuit, Element};
use units::Farads;

/// How a value is brought about without taking the part out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// A resistor across what is there, ohm.
    Across(f64),
    /// A resistor in series with what is there, ohm.
    InSeries(f64),
}

impl Remedy {
    /// What brings `from` to `to`, ohm.
    #[must_use]
    pub fn between(from: f64, to: f64) -> Self {
        if to < from {
            Remedy::Across(from * to / (from - to))
        } else {
            Remedy::InSeries(to - from)
        }
    }

    /// What `from` becomes by it, ohm.
    #[must_use]
    pub fn applied(self, from: f64) -> f64 {
        match self {
            Remedy::Across(r) => from * r / (from + r),
            Remedy::InSeries(r) => from + r,
        }
    }
}

/// The resistor of one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Trim {
    /// The stage's name.
    pub stage: String,
    /// Index of the resistor among the circuit's parts.
    pub part: usize,
    /// Its value now, ohm.
    pub from: f64,
    /// Its value trimmed, ohm.
    pub to: f64,
}

/// A trimmed circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Trimmed {
    /// One resistor for every stage that has one which moves the centre.
    pub trims: Vec<Trim>,
    /// Stages without such a resistor.
    pub without: Vec<String>,
    /// Where it is to be centred, Hz.
    pub pitch_hz: f64,
    /// Share by which the capacitors are taken to be greater than marked.
    pub capacitors: f64,
    /// How far off the circuit is as it was built.
    pub before: Miss,
    /// How far off it is with the values found.
    pub after: Miss,
    /// How far off it is with the nearest resistors that can be bought added.
    pub after_bought: Miss,
}

/// Why nothing can be trimmed.
#[derive(Debug, Clone, PartialEq)]
pub enum Untrimmed {
    /// The equations have no solution.
    Unsolvable(Unsolvable),
    /// It has no half-power band.
    NoBand,
    /// No resistor that may be changed moves the centre.
    NoResistor,
}

impl From<Unsolvable> for Untrimmed {
    fn from(why: Unsolvable) -> Self {
        Untrimmed::Unsolvable(why)
    }
}

/// A resistor that moves the centre by less than this power is no trim: it would have to change
/// tenfold for what is usual.
const IDLE: f64 = 0.02;
/// A trim stays within this factor of the value there is.
const WITHIN: f64 = 4.0;
/// A trim by less than this share is left alone.
const NOTHING: f64 = 1e-3;
/// Rounds of trying every other resistor of every stage.
const ROUNDS: usize = 3;

/// Trims `circuit`, measured to be centred at `measured_hz`, to `pitch_hz` (left out: where it was
/// designed to be); `stages` with the parts of each that may be changed; `bought` gives the nearest
/// resistor that can be bought, ohm.
///
/// # Errors
/// [`Untrimmed`].
pub fn trim(
    circuit: &Circuit,
    stages: &[(String, Vec<usize>)],
    measured_hz: f64,
    pitch_hz: Option<f64>,
    bought: impl Fn(f64) -> f64,
) -> Result<Trimmed, Untrimmed> {
    let designed = System::build(circuit)?;
    let eyes = Onlooker::new(circuit, &designed, Travel::towards(1.0, 1.0))?;
    let band = eyes.bands(&Variants::nominal(&designed))[0].ok_or(Untrimmed::NoBand)?;
    let aim = Aim {
        pitch_hz: Some(pitch_hz.unwrap_or(band.centre_hz)),
        width: Width::Same,
        gain_db: None,
    };
    let wanted = Wanted::carried(band, &aim, |f| eyes.gains_db(f));
    let built = with_capacitors(circuit, band.centre_hz / measured_hz);
    let system = System::build(&built)?;
    let travel = Travel::towards(wanted.pitch_hz / measured_hz, 1.0);
    let bench = Bench {
        eyes: Onlooker::new(&built, &system, travel)?,
        wanted,
    };
    let rows = rows(&bench, stages)?;
    bench.found(rows, band.centre_hz / measured_hz - 1.0, bought)
}

/// The circuit with all capacitances multiplied.
fn with_capacitors(circuit: &Circuit, by: f64) -> Circuit {
    let mut built = circuit.clone();
    for part in &mut built.parts {
        if let Element::Capacitor { value, .. } = &mut part.element {
            *value = Farads(value.0 * by);
        }
    }
    built
}

/// A built circuit and what is wanted of it.
struct Bench<'a> {
    eyes: Onlooker<'a>,
    wanted: Wanted,
}

/// The resistors that come into question: all of them, and which are those of each stage.
struct Rows {
    places: Vec<Place>,
    of_stage: Vec<(String, Vec<usize>)>,
    without: Vec<String>,
}

fn rows(bench: &Bench<'_>, stages: &[(String, Vec<usize>)]) -> Result<Rows, Untrimmed> {
    let system = bench.eyes.system();
    let mut rows = Rows {
        places: Vec::new(),
        of_stage: Vec::new(),
        without: Vec::new(),
    };
    let resistors = |parts: &[usize]| -> Vec<Place> {
        let all = system.parameters().iter().enumerate();
        all.filter(|(_, p)| p.property == Property::Resistance && parts.contains(&p.part))
            .map(|(parameter, p)| Place {
                parameter,
                now: p.value,
                candidates: vec![p.value / WITHIN, p.value * WITHIN],
                price: 1.0,
            })
            .collect()
    };
    let centres = |v: &Variants| -> Vec<Option<Vec<f64>>> {
        let bands = bench.eyes.bands(v).into_iter();
        bands.map(|b| b.map(|b| vec![b.centre_hz.ln()])).collect()
    };
    for (name, parts) in stages {
        let places = resistors(parts);
        let moves = slopes(&places, &centres).ok_or(Untrimmed::NoBand)?;
        let first = rows.places.len();
        let useful = places.into_iter().zip(moves);
        let useful = useful.filter(|(_, slope)| slope[0].abs() > IDLE);
        rows.places.extend(useful.map(|(place, _)| place));
        match rows.places.len() - first {
            0 => rows.without.push(name.clone()),
            count => rows
                .of_stage
                .push((name.clone(), (first..first + count).collect())),
        }
    }
    if rows.places.is_empty() {
        return Err(Untrimmed::NoResistor);
    }
    Ok(rows)
}

impl Bench<'_> {
    fn judge(&self, variants: &Variants) -> Vec<Option<Vec<f64>>> {
        let looks = self.eyes.looks(variants, &self.wanted).into_iter();
        looks
            .map(|l| l.map(|l| self.wanted.residuals(&l)))
            .collect()
    }

    /// Starts with the first resistor of every stage and changes one choice at a time while that
    /// lessens the error.
    fn found(
        &self,
        rows: Rows,
        capacitors: f64,
        bought: impl Fn(f64) -> f64,
    ) -> Result<Trimmed, Untrimmed> {
        let judge = |v: &Variants| self.judge(v);
        let least = |members: &[usize]| best_free(&rows.places, members, &judge);
        let mut members: Vec<usize> = rows.of_stage.iter().map(|(_, all)| all[0]).collect();
        let (mut values, mut error) = least(&members).ok_or(Untrimmed::NoBand)?;
        for _ in 0..ROUNDS {
            let before = error;
            for (k, (_, all)) in rows.of_stage.iter().enumerate() {
                for &other in all {
                    let mut next = members.clone();
                    next[k] = other;
                    if let Some((v, e)) = least(&next).filter(|(_, e)| *e < 0.999 * error) {
                        (members, values, error) = (next, v, e);
                    }
                }
            }
            if error > 0.999 * before {
                break;
            }
        }
        let with_bought = |(place, &to): (&Place, &f64)| match Remedy::between(place.now, to) {
            _ if (to / place.now).ln().abs() < NOTHING => place.now,
            Remedy::Across(r) => Remedy::Across(bought(r)).applied(place.now),
            Remedy::InSeries(r) => Remedy::InSeries(bought(r)).applied(place.now),
        };
        let real: Vec<f64> = rows.places.iter().zip(&values).map(with_bought).collect();
        let trims = rows
            .of_stage
            .iter()
            .zip(&members)
            .map(|((stage, _), &m)| Trim {
                stage: stage.clone(),
                part: self.eyes.system().parameters()[rows.places[m].parameter].part,
                from: rows.places[m].now,
                to: values[m],
            });
        Ok(Trimmed {
            trims: trims.collect(),
            before: self.miss(&rows.places, None)?,
            after: self.miss(&rows.places, Some(&values))?,
            after_bought: self.miss(&rows.places, Some(&real))?,
            pitch_hz: self.wanted.pitch_hz,
            without: rows.without,
            capacitors,
        })
    }

    fn miss(&self, places: &[Place], values: Option<&[f64]>) -> Result<Miss, Untrimmed> {
        let mut variants = Variants::of(places.iter().map(|p| p.parameter).collect());
        let now: Vec<f64> = places.iter().map(|p| p.now).collect();
        let row = values.unwrap_or(&now);
        variants.push(row).expect("values above zero");
        let verdict = self.judge(&variants).pop().flatten();
        let residuals = verdict.ok_or(Untrimmed::NoBand)?;
        Ok(self.wanted.miss(&residuals))
    }
}
