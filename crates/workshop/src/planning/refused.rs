//! Why a family of responses, or a way of building, is not among the designs offered.

use super::candidate::{Tried, counted};
use filter::topology::Cause;
use serde::Serialize;

/// A family, or a way to build it, that is not offered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// The family of responses, or the way of building.
    pub family: String,
    /// Why it is not offered.
    pub why: String,
}

/// What could not be made: family, way of building (if it got that far), and why.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Failure {
    /// The family of responses.
    pub(crate) family: String,
    /// How its stages were to be made; `None` when the response itself was refused.
    pub(crate) build: Option<&'static str>,
    /// What would have to change; `None` where no part is to blame.
    pub(crate) cause: Option<Cause>,
    /// Why not.
    pub(crate) why: String,
}

/// Why a circuit that was made is not among those kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum WhyDropped {
    /// The design of that rank is at least as good in every respect.
    NowhereBetter(usize),
    /// A builder could not tell it from the design of that rank.
    MuchAlike(usize),
    /// Enough others come before it.
    RanksBelow,
}

/// A circuit that was made and not kept.
#[derive(Debug, Clone)]
pub(crate) struct Dropped {
    /// The circuit.
    pub(crate) tried: Tried,
    /// Why it was not.
    pub(crate) why: WhyDropped,
}

/// One line for every family and every build that nothing kept stands for.
pub(crate) fn refused(kept: &[&Tried], dropped: &[Dropped], failures: &[Failure]) -> Vec<Refused> {
    let mut out = Vec::new();
    let family = |t: &Tried| t.family.clone();
    let build = |t: &Tried| t.build.name().to_owned();
    let failed = |of: &dyn Fn(&Failure) -> Option<String>| -> Vec<(String, String)> {
        failures
            .iter()
            .filter_map(|f| of(f).map(|name| (name, f.why.clone())))
            .collect()
    };
    let by_family = failed(&|f| Some(f.family.clone()));
    let by_build = failed(&|f| f.build.map(str::to_owned));
    for (name_of, failures) in [
        (&family as &dyn Fn(&Tried) -> String, by_family),
        (&build, by_build),
    ] {
        let shown: Vec<String> = kept.iter().map(|t| name_of(t)).collect();
        let mut told = |name: String, why: String| {
            if !shown.contains(&name) && !out.iter().any(|r: &Refused| r.family == name) {
                out.push(Refused { family: name, why });
            }
        };
        for d in dropped {
            told(name_of(&d.tried), reason(d));
        }
        for (name, why) in failures {
            told(name, why);
        }
    }
    out
}

fn reason(d: &Dropped) -> String {
    let best = format!("its best, {},", counted(d.tried.stages));
    match &d.why {
        WhyDropped::NowhereBetter(rank) => {
            format!("{best} is nowhere better than design {rank}")
        }
        WhyDropped::MuchAlike(rank) => format!("{best} is much like design {rank}"),
        WhyDropped::RanksBelow if d.tried.score.meets => {
            format!("{best} serves, and ranks below the designs shown")
        }
        WhyDropped::RanksBelow => format!("{best} misses {}", d.tried.score.missing.join(", ")),
    }
}
