//! Which topology makes which section.

use crate::topology::{Cause, Refusal, Topology};
use crate::{Need, Section};

/// The first topology of the choice that can make each section.
///
/// # Errors
/// Why not, of the section that is worst off.
pub(crate) fn choose(
    need: &Need,
    sections: &[Section],
    choice: &[Topology],
) -> Result<Vec<Topology>, Refusal> {
    let one = |section: &Section| {
        let mut refused = Vec::new();
        let able = |t: &&Topology| t.makes(section);
        let any = choice.iter().any(|t| able(&t));
        for topology in choice.iter().filter(|t| !any || able(t)) {
            // gain is dealt with later: any within its range will do here
            let gain = topology
                .forced_gain(section)
                .unwrap_or_else(|| topology.most_gain(section).min(1.0));
            match topology.fits(section, gain, &need.parts) {
                Ok(()) => return Ok(*topology),
                Err(refusal) => refused.push(refusal),
            }
        }
        Err(of_all_choices(&refused))
    };
    let verdicts: Vec<Result<Topology, Refusal>> = sections.iter().map(one).collect();
    let refusals = verdicts.iter().filter_map(|v| v.clone().err());
    match Refusal::gravest(refusals) {
        Some(refusal) => Err(refusal),
        None => Ok(verdicts.into_iter().flatten().collect()),
    }
}

/// Why no topology of a choice makes a section: any that a faster op-amp lets through would do.
fn of_all_choices(refused: &[Refusal]) -> Refusal {
    let speeds = refused.iter().filter_map(|r| match r.cause {
        Cause::Speed { wanted } => Some(wanted),
        _ => None,
    });
    let cause = match speeds.min_by(|a, b| a.0.total_cmp(&b.0)) {
        Some(wanted) => Cause::Speed { wanted },
        None => Cause::Stage,
    };
    let why: Vec<&str> = refused.iter().map(|r| r.why.as_str()).collect();
    Refusal::new(cause, why.join("; "))
}
