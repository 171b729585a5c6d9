//! Every response that could serve: each family with each number of stages.

use super::candidate::Response;
use super::refused::Failure;
use filter::Need;
use filter::family::Family;
use rayon::prelude::*;

/// The responses in the order of the families, and those that cannot be made.
pub(crate) fn responses(need: &Need) -> (Vec<Response>, Vec<Failure>) {
    let most = need.parts.most_stages;
    // A single resonator is the same in every family.
    let asked: Vec<(Family, usize)> = Family::TRIED
        .into_iter()
        .flat_map(|family| (1..=most).map(move |stages| (family, stages)))
        .filter(|&(family, stages)| stages > 1 || family == Family::Synchronous)
        .collect();
    let made: Vec<Result<Response, Failure>> = asked
        .par_iter()
        .map(|&(family, stages)| response(need, family, stages))
        .collect();
    let mut responses = Vec::new();
    let mut failures = Vec::new();
    if most == 1 {
        failures.push(Failure {
            family: "every other family".to_owned(),
            build: None,
            cause: None,
            why: "one stage is the same in all of them: allow two".to_owned(),
        });
    }
    for outcome in made {
        match outcome {
            Ok(r) => responses.push(r),
            Err(f) => failures.push(f),
        }
    }
    (responses, failures)
}

fn response(need: &Need, family: Family, stages: usize) -> Result<Response, Failure> {
    let design = family
        .design(&need.listening, stages)
        .map_err(|refusal| Failure {
            family: family.name(),
            build: None,
            cause: None,
            why: refusal.to_string(),
        })?;
    Ok(Response {
        family: family.name(),
        why: family.why().to_owned(),
        stages,
        sections: design.sections,
        ideal: design.figures,
    })
}
