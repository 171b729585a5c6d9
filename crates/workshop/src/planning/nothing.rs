//! What to say when no circuit at all can be made: the cause that most ways of building share.
//!
//! That no op-amp works at the supply is common to all and told before anything is tried. Of the
//! rest, a part that could be bought comes before a stage that is not made for its section, since
//! other ways of building need not care.

use super::refused::Failure;
use filter::Need;
use filter::topology::Cause;
use parts::OpampModel;

/// Why nothing can be made, the commonest cause first, and what to change.
pub(crate) fn nothing(need: &Need, failures: &[Failure]) -> String {
    let built: Vec<&Failure> = failures.iter().filter(|f| f.build.is_some()).collect();
    let (speed, others): (Vec<&Failure>, Vec<&Failure>) =
        built.iter().partition(|f| wants(f) > 0.0);
    let (values, others): (Vec<&Failure>, Vec<&Failure>) = others
        .into_iter()
        .partition(|f| f.cause == Some(Cause::Values));
    let (stage, unsound): (Vec<&Failure>, Vec<&Failure>) = others
        .into_iter()
        .partition(|f| f.cause == Some(Cause::Stage));
    let mut told = [
        (speed.len(), too_slow(need, &speed)),
        (
            values.len(),
            example("find no values in the ranges allowed", &values),
        ),
        (unsound.len(), example("are not sound", &unsound)),
    ];
    told.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
    let mut told: Vec<(usize, String)> = told.into();
    told.push((stage.len(), example("are not made for such stages", &stage)));
    told.retain(|(count, _)| *count > 0);
    let reasons: Vec<String> = match told.as_slice() {
        [] => failures
            .first()
            .map(|f| format!("{}: {}", f.family, f.why))
            .into_iter()
            .collect(),
        [(_, only)] => vec![format!("all {} ways of building {only}", built.len())],
        several => several
            .iter()
            .map(|(count, why)| format!("{count} of {} ways of building {why}", built.len()))
            .collect(),
    };
    format!(
        "no circuit can be made: {}; {}",
        reasons.join("; "),
        ways_out(need, !speed.is_empty())
    )
}

/// Gain-bandwidth product that would do, Hz; 0 where speed is not the trouble.
fn wants(failure: &Failure) -> f64 {
    match failure.cause {
        Some(Cause::Speed { wanted }) => wanted.0,
        _ => 0.0,
    }
}

fn too_slow(need: &Need, failures: &[&Failure]) -> String {
    let least = failures.iter().min_by(|a, b| wants(a).total_cmp(&wants(b)));
    let (Some(least), Some(fastest)) = (least, fastest(need)) else {
        return String::new();
    };
    format!(
        "want a faster op-amp: the least demanding, {} as {}, wants {:.2} MHz of gain-bandwidth, and the fastest of the list that works from {} to {}, {}, has {:.2} MHz",
        least.family,
        least.build.unwrap_or_default(),
        wants(least) / 1e6,
        need.supply.lowest,
        need.supply.voltage,
        fastest.name,
        fastest.gain_bandwidth.0 / 1e6
    )
}

/// The fastest op-amp that works at the supply.
fn fastest(need: &Need) -> Option<&OpampModel> {
    let fitting = need.parts.opamps.iter().filter(|m| need.supply.feeds(m));
    fitting.max_by(|a, b| a.gain_bandwidth.0.total_cmp(&b.gain_bandwidth.0))
}

fn example(what: &str, failures: &[&Failure]) -> String {
    failures.first().map_or(String::new(), |f| {
        format!(
            "{what} ({} as {}: {})",
            f.family,
            f.build.unwrap_or_default(),
            f.why
        )
    })
}

fn ways_out(need: &Need, too_slow: bool) -> String {
    let mut ways = Vec::new();
    if too_slow {
        ways.push("list a faster op-amp");
    }
    if need.parts.most_stages == 1 {
        ways.push("allow two stages");
    }
    ways.push("ask for a wider filter, whose stages have a lower Q");
    ways.join(", or ")
}

#[cfg(test)]
mod tests {
    //! Order of trust: our own contract with the user, on needs that nothing can meet.
    use super::*;
    use crate::plan::{PlanRequest, plan};
    use crate::planning::{Build, attempt, responses};
    use crate::wishes::Wishes;
    use units::Hertz;

    fn need(supply: &str, parts: &str) -> String {
        format!(
            "format = \"narrows need 1\"\ntitle = \"nothing\"\n[listening]\npitch = \"650 Hz\"\nwidth = \"120 Hz\"\n[supply]\nvoltage = \"{supply}\"\nlowest = \"{supply}\"\n[parts]\n{parts}\n"
        )
    }

    fn refused(supply: &str, parts: &str) -> String {
        let (name, text) = ("need.toml".to_owned(), need(supply, parts));
        let made = plan(&PlanRequest {
            name,
            text,
            drawer: None,
        })
        .map(|outcome| outcome.designs.len());
        made.expect_err("nothing can be made").to_string()
    }

    fn has(said: &str, words: &[&str]) {
        for word in words {
            assert!(said.contains(word), "{word:?} is not in {said:?}");
        }
    }

    #[test]
    fn a_supply_that_no_op_amp_of_the_list_works_from_is_named() {
        let flat = refused("8 V", "opamps = [\"LM833\"]");
        has(
            &flat,
            &[
                "no op-amp for this supply",
                "LM833 needs 10 V",
                "falls to 8 V",
            ],
        );
        has(
            &flat,
            &[
                "at least one type that works from 8 V to 8 V",
                "write opamps = [\"TL072\"]",
                "or change the supply",
            ],
        );
        let high = refused("12 V", "opamps = [\"MCP6002\", \"MCP6022\"]");
        has(
            &high,
            &[
                "MCP6002 bears 6 V",
                "MCP6022 bears 5.5 V",
                "starts at 12 V",
                "TL072",
            ],
        );
    }

    #[test]
    fn values_that_come_near_nothing_are_named() {
        let drawer = "opamps = [\"TL072\"]\nresistors = { series = \"E12\", tolerance = \"5 %\", from = \"1k\", to = \"10k\" }\ncapacitors = { series = \"E6\", tolerance = \"5 %\", kind = \"film\", from = \"1n\", to = \"10n\" }\nstages = { most = 1 }";
        let said = refused("12 V", drawer);
        has(
            &said,
            &[
                "made: ",
                "find no values in the ranges allowed",
                "E12 from 1 kΩ to 10 kΩ",
                "wider range",
            ],
        );
    }

    /// Every op-amp of the data is fast enough for something, so the type here is slowed down.
    #[test]
    fn op_amps_that_are_all_too_slow_are_named_with_what_is_wanted() {
        let text = need(
            "12 V",
            "opamps = [\"TL072\", \"NE5532\", \"MCP6022\"]\nstages = { most = 1 }",
        );
        let mut need = filter::need::read("need.toml", &text).expect("a sound need");
        need.parts.opamps[0].gain_bandwidth = Hertz(20e3);
        need.parts.opamps[1].gain_bandwidth = Hertz(40e3);
        let wishes = Wishes::of_need(&need);
        let (responses, _) = responses(&need);
        let failures: Vec<Failure> = Build::ALL
            .into_iter()
            .map(|build| {
                let refusal = attempt(&need, &wishes, &responses[0], build);
                let (cause, why) = refusal.expect_err("too slow");
                let family = responses[0].family.clone();
                Failure {
                    family,
                    build: Some(build.name()),
                    cause,
                    why,
                }
            })
            .collect();
        let said = nothing(&need, &failures);
        // MCP6022 is fast, and does not bear the supply.
        has(
            &said,
            &[
                "want a faster op-amp",
                "of gain-bandwidth",
                "NE5532, has 0.04 MHz",
                "list a faster op-amp",
            ],
        );
        let first = said.find("faster op-amp").expect("the cause");
        assert!(
            said.find("not made for such stages")
                .is_none_or(|other| first < other),
            "{said}"
        );
        // What it says would do, does.
        let least = failures
            .iter()
            .map(wants)
            .filter(|w| *w > 0.0)
            .fold(f64::INFINITY, f64::min);
        need.parts.opamps[0].gain_bandwidth = Hertz(least * 1.001);
        let enough = Build::ALL.into_iter().any(|build| {
            let tried = attempt(&need, &wishes, &responses[0], build);
            !matches!(tried, Err((Some(Cause::Speed { .. }), _)))
                && failures
                    .iter()
                    .any(|f| f.build == Some(build.name()) && wants(f) > 0.0)
        });
        assert!(enough, "{said}");
    }
}
