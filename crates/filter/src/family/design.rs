//! A band-pass with ideal sections, made for what the ear asks.

use units::{Decibels, Hertz};

use super::fit::{PEAK_OVER_PITCH_DB, fitted};
use super::{BandFigures, Family, FamilyRefusal, Shortfall};
use crate::bandpass::all_band_pass;
use crate::calm::{CLEAN_FALL_DB, CalmBound, CalmTrade, CalmWish, calm_band};
use crate::{Listening, Section};

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

/// Calm designs give or gain in all wishes together, so that real parts have room on
/// every side. First with a clean decay; if then a wish is missed, with a grudging one, and
/// the better of the two is kept.
fn searched(
    family: Family,
    listening: &Listening,
    stages: usize,
) -> Result<(Vec<Section>, usize), FamilyRefusal> {
    let pairs = match family {
        Family::CalmNotched { pairs } => pairs,
        _ => 0,
    };
    let search = |falling| {
        let wish = CalmWish {
            pitch: listening.pitch,
            neighbours: listening.neighbours.clone(),
            width: listening.width,
            tail: listening.tail,
            tail_level: Decibels(20.0),
            falling: Decibels(falling),
            peak_over_pitch: Decibels(PEAK_OVER_PITCH_DB),
        };
        calm_band(&wish, stages, pairs, CalmTrade::Balanced)
    };
    let worst = |sections: &[Section]| {
        let figures = BandFigures::of(sections, listening);
        Shortfall::of(&figures, listening)
            .first()
            .map_or(0.0, Shortfall::weight)
    };
    let clean = search(CLEAN_FALL_DB)?;
    let missed = worst(&clean.sections);
    if missed <= 0.0 {
        return Ok((clean.sections, clean.surveys));
    }
    let grudging = search(GRUDGING_FALL_DB)?;
    let surveys = clean.surveys + grudging.surveys;
    if worst(&grudging.sections) < missed {
        Ok((grudging.sections, surveys))
    } else {
        Ok((clean.sections, surveys))
    }
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
