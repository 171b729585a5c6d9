//! One thing to try: a set of sections, made in one way.

use super::builds::Build;
use super::polish::Polish;
use super::refused::Failure;
use super::score::Score;
use super::value_search::ValueSearch;
use crate::examine::{Gist, examine, gist};
use crate::findings::sings;
use crate::provision::{Provision, provision};
use crate::report::CheckReport;
use crate::wishes::Wishes;
use circuit::Circuit;
use filter::assembly::{Assembled, realise};
use filter::family::BandFigures;
use filter::topology::Cause;
use filter::{Need, Section};
use parts::Drawer;

/// A set of resonators from one family of responses.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Response {
    /// The family's name.
    pub(crate) family: String,
    /// What the family is for, in a sentence.
    pub(crate) why: String,
    /// Resonators in cascade.
    pub(crate) stages: usize,
    /// The sections.
    pub(crate) sections: Vec<Section>,
    /// What they do, made ideally.
    pub(crate) ideal: BandFigures,
}

/// A circuit that was made and ranked.
#[derive(Debug, Clone)]
pub(crate) struct Tried {
    /// The family's name.
    pub(crate) family: String,
    /// What the family is for.
    pub(crate) why: String,
    /// How its stages are made.
    pub(crate) build: Build,
    /// Resonators in cascade.
    pub(crate) stages: usize,
    /// What it was designed to do.
    pub(crate) sections: Vec<Section>,
    /// The circuit that is soldered.
    pub(crate) circuit: Circuit,
    /// What was decided on the way.
    pub(crate) notes: Vec<String>,
    /// What came from the sections.
    pub(crate) made: Assembled,
    /// Where its parts come from, once that was asked.
    pub(crate) provision: Option<Provision>,
    /// The figures it is ranked by.
    pub(crate) gist: Gist,
    /// How well it serves.
    pub(crate) score: Score,
    /// What was exchanged when all its values were judged together.
    pub(crate) polish: Option<Polish>,
}

impl Tried {
    /// Says of every part where it comes from, if the need names a drawer.
    pub(crate) fn provide(&mut self, need: &Need, drawer: Option<&Drawer>) {
        let Some((rule, drawer)) = need.parts.drawer.as_ref().zip(drawer) else {
            return;
        };
        let stock = rule.stock.clone().unwrap_or_default();
        let provided = provision(&mut self.circuit, drawer, &stock);
        self.notes.push(provided.words(&rule.file));
        self.provision = Some(provided);
    }

    /// How its values were found.
    pub(crate) fn value_search(&self, need: &Need) -> ValueSearch {
        ValueSearch::of(need, &self.made)
    }

    /// Everything `check` says about it.
    ///
    /// # Errors
    /// Why it is not offered: it would oscillate, or cannot be analysed.
    pub(crate) fn examined(&self, wishes: &Wishes) -> Result<CheckReport, String> {
        let report = examine(&self.circuit, wishes, None)?;
        match report.findings.iter().find(|f| f.id == sings::ID) {
            Some(sings) => Err(sings.text.clone()),
            None => Ok(report),
        }
    }

    /// It as a failure, for the reason given.
    #[must_use]
    pub(crate) fn failure(self, why: String) -> Failure {
        Failure {
            family: self.family,
            build: Some(self.build.name()),
            cause: None,
            why,
        }
    }

    /// What it is, in a few words.
    #[must_use]
    pub(crate) fn name(&self) -> String {
        format!(
            "{}, {}, {}",
            self.family,
            counted(self.stages),
            self.build.name()
        )
    }
}

/// A number of stages in words that agree.
#[must_use]
pub(crate) fn counted(stages: usize) -> String {
    match stages {
        1 => "one stage".to_owned(),
        n => format!("{n} stages"),
    }
}

/// Why a candidate cannot be made: what would have to change, if a part is to blame, and why.
type Hindered = (Option<Cause>, String);

/// Makes and ranks one candidate.
///
/// # Errors
/// Why it cannot be made.
pub(crate) fn attempt(
    need: &Need,
    wishes: &Wishes,
    response: &Response,
    build: Build,
) -> Result<Tried, Hindered> {
    let sections = build
        .sections(&response.sections)
        .map_err(|why| (Some(Cause::Stage), why))?;
    let made = realise(need, &sections, build.choice()).map_err(|r| (Some(r.cause), r.why))?;
    let mut circuit = made.circuit.clone();
    circuit.title = format!(
        "{}: {}, {}, {}",
        need.title,
        response.family,
        counted(response.stages),
        build.name()
    );
    let (circuit, gist, score) = ranked(need, wishes, &circuit).map_err(|why| (None, why))?;
    Ok(Tried {
        family: response.family.clone(),
        why: response.why.clone(),
        build,
        stages: response.stages,
        sections: response.sections.clone(),
        circuit,
        notes: made.notes.clone(),
        made,
        provision: None,
        gist,
        score,
        polish: None,
    })
}

/// The circuit as its file will say it, to the last bit, and how well that serves.
///
/// # Errors
/// Why it cannot be judged.
pub(crate) fn ranked(
    need: &Need,
    wishes: &Wishes,
    circuit: &Circuit,
) -> Result<(Circuit, Gist, Score), String> {
    let circuit = circuit::read("the planned circuit", &circuit::write(circuit))
        .map_err(|complaints| complaints.to_string())?;
    let gist = gist(&circuit, wishes)?;
    let score = Score::of(need, &circuit, &gist);
    Ok((circuit, gist, score))
}
