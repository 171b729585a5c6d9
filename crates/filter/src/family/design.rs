//! A band-pass with ideal sections, made for what the ear asks.

use units::{Decibels, Hertz};

use super::fit::{PEAK_OVER_PITCH_DB, fitted};
use super::{BandFigures, Family, FamilyRefusal, Shortfall};
use crate::bandpass::all_band_pass;
use crate::calm::{
    CLEAN_FALL_DB, CalmBand, CalmBound, CalmTrade, CalmWish, calm_band, calm_band_near,
};
use crate::{Listening, Neighbour, Section};

/// What a family makes of a need with a number of stages.
#[derive(Debug, Clone, PartialEq)]
pub struct BandPassDesign {
    /// The family.
    pub family: Family,
    /// Number of resonators.
    pub stages: usize,
    /// Band-pass sections (and notch sections where nulls were searched), by rising
    /// frequency; [`peaking`](crate::bandpass::peaking) makes the other form of an
    /// all-band-pass list.
    pub sections: Vec<Section>,
    /// What the sections do.
    pub figures: BandFigures,
    /// Each wish missed, worst first; empty when all are met.
    pub shortfalls: Vec<Shortfall>,
    /// The least tail 40 dB down for the rejection reached, in the narrow-band picture and
    /// with neighbours on both sides: what is proven.
    pub bound: Option<CalmBound>,
    /// Evaluations of the true response a search spent; zero without a search.
    pub surveys: usize,
}

impl Family {
    /// Designs the family for what the ear asks with `stages` resonators.
    ///
    /// # Errors
    /// When the family is not made with so many stages or a figure of the need is unusable.
    /// A wish that is missed is no error: it stands in
    /// [`shortfalls`](BandPassDesign::shortfalls).
    pub fn design(
        self,
        listening: &Listening,
        stages: usize,
    ) -> Result<BandPassDesign, FamilyRefusal> {
        refuse_nonsense(listening)?;
        let (sections, surveys) = match self.prototype(stages)? {
            Some(prototype) => (all_band_pass(&fitted(&prototype, listening)), 0),
            None => searched(self, listening, stages)?,
        };
        let figures = BandFigures::of(&sections, listening);
        Ok(BandPassDesign {
            family: self,
            stages,
            shortfalls: Shortfall::of(&figures, listening),
            bound: CalmBound::of(&listening.neighbours, &figures.neighbours),
            figures,
            sections,
            surveys,
        })
    }
}

/// How slowly a calm envelope may go on falling when a clean decay misses a wish: about as
/// Butterworth's does.
const GRUDGING_FALL_DB: f64 = 3.0;

/// Weighed decibels missed from which no decay comes near, and a new search is not worth its
/// time: over ten needs the polish missed at most 1.5 dB more.
const FAR_OUT_DB: f64 = 6.0;

/// What a calm search holds beyond the wishes, so that real parts have room: a decibel of
/// every neighbour and a fiftieth of the width (common practice: about what 1 % resistors
/// and stage-by-stage rounding take).
const ROOM_DB: f64 = 1.0;
const ROOM_WIDTH: f64 = 1.02;

/// One way to ask the search.
#[derive(Clone, Copy)]
struct Ask {
    trade: CalmTrade,
    /// Level that ends the tail, dB.
    level_db: f64,
    falling_db: f64,
    room: bool,
    /// Whether, where the wishes are far out of reach, to begin from the sections that miss
    /// least so far and polish only.
    polish: bool,
}

/// A tail is judged 40 dB down where it can be, for a filter that hangs on just under
/// −20 dB still rings. Where that misses a wish all wishes give together, first with a
/// clean decay, then with a grudging one.
fn asks(family: Family) -> [Ask; 3] {
    let balanced = Ask {
        trade: CalmTrade::Balanced,
        level_db: 20.0,
        falling_db: CLEAN_FALL_DB,
        room: false,
        polish: false,
    };
    let grudging = Ask {
        falling_db: GRUDGING_FALL_DB,
        polish: true,
        ..balanced
    };
    let first = match family {
        Family::CalmSteep => Ask {
            trade: CalmTrade::MostRejection,
            level_db: 40.0,
            falling_db: CLEAN_FALL_DB,
            room: true,
            polish: false,
        },
        _ => Ask {
            trade: CalmTrade::LeastTail,
            level_db: 40.0,
            falling_db: CLEAN_FALL_DB,
            room: true,
            polish: false,
        },
    };
    [first, balanced, grudging]
}

/// The first of the asks that meets every wish, or the one that misses least. What all
/// wishes give together is the same whatever was asked first, so calm and steep leaves it to calm.
fn searched(
    family: Family,
    listening: &Listening,
    stages: usize,
) -> Result<(Vec<Section>, usize), FamilyRefusal> {
    let mut best: Option<(f64, Vec<Section>)> = None;
    let mut surveys = 0;
    for ask in asks(family) {
        let far = |(missed, _): &&(f64, Vec<Section>)| ask.polish && *missed > FAR_OUT_DB;
        let near = best.as_ref().filter(far).map(|(_, s)| s.as_slice());
        let found = search(family, listening, stages, &ask, near)?;
        surveys += found.surveys;
        let figures = BandFigures::of(&found.sections, listening);
        let missed = Shortfall::of(&figures, listening)
            .first()
            .map_or(0.0, Shortfall::weight);
        if missed <= 0.0 {
            return Ok((found.sections, surveys));
        }
        if family == Family::CalmSteep {
            return Err(FamilyRefusal::NothingToSpare { stages });
        }
        if best.as_ref().is_none_or(|(least, _)| missed < *least) {
            best = Some((missed, found.sections));
        }
    }
    Ok((
        best.map(|(_, sections)| sections).unwrap_or_default(),
        surveys,
    ))
}

fn search(
    family: Family,
    listening: &Listening,
    stages: usize,
    ask: &Ask,
    near: Option<&[Section]>,
) -> Result<CalmBand, FamilyRefusal> {
    let pairs = match family {
        Family::CalmNotched { pairs } => pairs,
        _ => 0,
    };
    let (more_db, wider) = if ask.room {
        (ROOM_DB, ROOM_WIDTH)
    } else {
        (0.0, 1.0)
    };
    let neighbour = |n: &Neighbour| Neighbour {
        down: Decibels(n.down.0 + more_db),
        ..*n
    };
    let wish = CalmWish {
        pitch: listening.pitch,
        neighbours: listening.neighbours.iter().map(neighbour).collect(),
        width: Hertz(wider * listening.width.0),
        tail: listening.tail,
        tail_level: Decibels(ask.level_db),
        falling: Decibels(ask.falling_db),
        peak_over_pitch: Decibels(PEAK_OVER_PITCH_DB),
    };
    Ok(match near {
        Some(sections) => calm_band_near(&wish, sections, ask.trade)?,
        None => calm_band(&wish, stages, pairs, ask.trade)?,
    })
}

fn refuse_nonsense(listening: &Listening) -> Result<(), FamilyRefusal> {
    let within = |what, found: f64, range: std::ops::RangeInclusive<f64>, allowed| {
        if range.contains(&found) {
            Ok(())
        } else {
            Err(FamilyRefusal::Figure {
                what,
                found,
                allowed,
            })
        }
    };
    let Hertz(pitch) = listening.pitch;
    within("pitch", pitch, 20.0..=20_000.0, "20 Hz to 20 kHz")?;
    let width = listening.width.0 / pitch;
    within(
        "width in units of the pitch",
        width,
        0.001..=2.0,
        "0.001 to 2",
    )?;
    let tail = listening.tail.0 * pitch;
    within(
        "tail in periods of the pitch",
        tail,
        0.1..=10_000.0,
        "0.1 to 10000",
    )?;
    for n in &listening.neighbours {
        within(
            "rejection of a neighbour",
            n.down.0,
            0.5..=80.0,
            "0.5 dB to 80 dB",
        )?;
        let place = (pitch + n.offset.0).abs() / pitch;
        within(
            "frequency of a neighbour in units of the pitch",
            place,
            0.01..=21.0,
            "0.01 to 21",
        )?;
    }
    Ok(())
}
