//! How the values of a design were found, what is proven of them, and what fewer would cost.

use filter::Need;
use filter::assembly::{Assembled, StageSummary, bags, few_values};
use filter::values::{Shared, SharedValues};
use serde::Serialize;

/// Cost of the worst stage up to which fewer values are looked for, at least,
const TOLERATED: f64 = 0.05;

/// ... and how much dearer than the worst stage of the design.
const DEARER: f64 = 2.0;

/// The search for values, stage by stage, before all of them were judged together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ValueSearch {
    /// The stages, in the order of the signal.
    pub stages: Vec<StageSearch>,
    /// Fewer different values and what they cost; `null` where the parts come from a drawer or some
    /// place is made of two.
    pub fewer: Option<FewerValues>,
}

/// The search for one stage. Of all combinations of the shelf those not evaluated lie outside
/// brackets that any of lower cost would have to be in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageSearch {
    /// The stage, as its parts name it.
    pub stage: String,
    /// How it is made.
    pub topology: &'static str,
    /// Weighed error of the values chosen.
    pub error: f64,
    /// Combinations that the shelf allows.
    pub combinations: f64,
    /// Complete combinations that were evaluated.
    pub evaluated: u64,
    /// Partial and complete combinations that were visited.
    pub visited: u64,
    /// Cost under which everything was looked at.
    pub bound: f64,
}

/// Number of different values against the cost of the worst stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FewerValues {
    /// Cost of a stage up to which every combination was looked at.
    pub reach: f64,
    /// Most values and least cost first.
    pub steps: Vec<FewerStep>,
}

/// The best stages of so many different values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FewerStep {
    /// Different values that set the stages.
    pub distinct: usize,
    /// Error of the worst stage and what its awkward values cost.
    pub worst_cost: f64,
    /// Greatest weighed error of a stage.
    pub worst_error: f64,
    /// Whether nothing of so few values costs less.
    pub exact: bool,
    /// The resistors.
    pub resistors_ohm: Vec<f64>,
    /// The capacitors.
    pub capacitors_f: Vec<f64>,
}

impl ValueSearch {
    pub(crate) fn of(need: &Need, made: &Assembled) -> Self {
        let paired = made.chain.stages.iter().any(|s| s.pairing.is_some());
        let shared = match paired {
            true => None,
            false => few_values(need, &made.chain, tolerated(made)),
        };
        ValueSearch {
            stages: made.stages.iter().map(stage).collect(),
            fewer: shared.map(|shared| fewer(made, &shared)),
        }
    }
}

impl FewerValues {
    /// In words, if fewer do at all.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let (first, rest) = self.steps.split_first()?;
        let (cent, last) = (|step: &FewerStep| 100.0 * step.worst_cost, rest.last()?);
        let middle = rest
            .get((rest.len() - 1) / 2)
            .filter(|m| m.distinct > last.distinct);
        let others: Vec<String> = (middle.into_iter().chain([last]))
            .map(|step| format!("{} with {:.1} %", step.distinct, cent(step)))
            .collect();
        Some(format!(
            "{} different ones are best for its stages, the worst of them {:.1} % off, awkward values \
             counted; it can be made of {}",
            first.distinct,
            cent(first),
            others.join(", or ")
        ))
    }
}

fn tolerated(made: &Assembled) -> f64 {
    let costs = made.chain.stages.iter().map(|s| DEARER * s.found.cost);
    costs.fold(TOLERATED, f64::max)
}

fn stage(summary: &StageSummary) -> StageSearch {
    let proof = summary.proof;
    StageSearch {
        stage: summary.name.clone(),
        topology: summary.topology.name(),
        error: summary.error,
        combinations: proof.combinations,
        evaluated: proof.evaluated,
        visited: proof.visited,
        bound: proof.bound,
    }
}

fn fewer(made: &Assembled, shared: &SharedValues) -> FewerValues {
    let step = |step: &Shared| {
        let stages = made.chain.stages.iter().zip(&step.stages);
        let values: Vec<_> =
            (stages.map(|(s, found)| (s.topology, found.values.as_slice()))).collect();
        let [resistors_ohm, capacitors_f] = bags(&values);
        FewerStep {
            distinct: step.distinct,
            worst_cost: step.cost,
            worst_error: step.stages.iter().map(|s| s.error).fold(0.0, f64::max),
            exact: step.exact,
            resistors_ohm,
            capacitors_f,
        }
    };
    FewerValues {
        reach: shared.reach,
        steps: shared.steps.iter().map(step).collect(),
    }
}

#[cfg(test)]
mod tests {
    //! Order of trust: invariants of the frontier, on the shipped need.
    use super::*;
    use crate::planning::{Build, responses};
    use filter::assembly::realise;

    const NEED: &str = include_str!("../../../../examples/attic/need.toml");

    fn searched(need: &str) -> ValueSearch {
        let need = filter::need::read("need.toml", need).expect("the need reads");
        let (all, _) = responses(&need);
        let response = all.iter().find(|r| r.stages == 3).expect("three stages");
        let build = Build::MultipleFeedback;
        let sections = build.sections(&response.sections).expect("sections");
        let made = realise(&need, &sections, build.choice()).expect("a circuit");
        ValueSearch::of(&need, &made)
    }

    /// Invariant: as many values as told, fewer and dearer from step to step, within the reach; every
    /// stage with a proof over more combinations than were looked at.
    #[test]
    fn fewer_values_are_told_with_their_cost() {
        let search = searched(NEED);
        assert_eq!(search.stages.len(), 3);
        for stage in &search.stages {
            assert!(stage.evaluated > 0 && stage.visited as f64 <= stage.combinations);
        }
        let fewer = search.fewer.expect("no drawer, no pairs");
        for pair in fewer.steps.windows(2) {
            assert!(pair[1].distinct < pair[0].distinct);
            assert!(pair[1].worst_cost > pair[0].worst_cost);
        }
        for step in &fewer.steps {
            let told = step.resistors_ohm.len() + step.capacitors_f.len();
            assert_eq!(told, step.distinct);
            assert!(step.worst_error <= step.worst_cost && step.exact);
        }
        let last = fewer.steps.last().expect("some");
        assert!(fewer.steps.len() > 1 && last.worst_cost <= fewer.reach);
        let words = fewer.words().expect("fewer do");
        let end = format!("{} with {:.1} %", last.distinct, 100.0 * last.worst_cost);
        assert!(words.ends_with(&end), "{words}");
    }

    /// Where places are made of two parts, one value is not one bag, and nothing is told.
    #[test]
    fn nothing_is_told_of_pairs() {
        let coarse = NEED
            .replace("\"E24\"", "\"E12\", pairs = true")
            .replace("5 %", "0.5 %");
        let search = searched(&coarse);
        assert_eq!(search.fewer, None);
    }
}
