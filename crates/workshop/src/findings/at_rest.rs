//! What is wrong while nothing is heard: the circuit at rest.
//!
//! Checks every amplifier's output and inputs, the supply, floating nodes, polarised
//! capacitors and DC at the output. Why: a stage that rests wrong passes nothing, and DC
//! harms phones. Do: as each case says. Source: the computed operating point; parts data.

use super::Evidence;
use crate::finding::{Finding, Severity};
use circuit::dc::DcFinding;

pub(super) fn check(e: &Evidence<'_>) -> Vec<Finding> {
    e.rest
        .findings
        .iter()
        .map(|found| told(found, e.wishes.phones.is_some()))
        .collect()
}

/// What stands in one finding: severity, text, why, remedy.
type Told = (Severity, String, &'static str, &'static str);

fn told(found: &DcFinding, phones: bool) -> Finding {
    let (severity, text, why, remedy) = amplifier(found).unwrap_or_else(|| wiring(found, phones));
    Finding {
        id: "at_rest",
        severity,
        text,
        why: why.to_owned(),
        remedy: remedy.to_owned(),
        source: "DC operating point of this circuit; limits from the parts data",
    }
}

fn amplifier(found: &DcFinding) -> Option<Told> {
    Some(match found {
        DcFinding::Stuck {
            part,
            node,
            high,
            at,
        } => (
            Severity::Problem,
            format!(
                "the output of {part}, node {node}, is stuck {} at {at:.3}",
                end(*high)
            ),
            "an amplifier against its limit passes nothing",
            "give its + input a DC path to mid-supply and its feedback a DC path from the output",
        ),
        DcFinding::InputOutOfRange {
            part,
            node,
            at,
            allowed,
        } => (
            Severity::Problem,
            format!(
                "an input of {part}, node {node}, rests at {at:.3}; the type works from {:.3} to {:.3}",
                allowed.0, allowed.1
            ),
            "outside its input range an amplifier distorts or turns over",
            "bias the input to mid-supply, or use a type whose inputs reach that rail",
        ),
        DcFinding::CurrentLimited { part, current } => (
            Severity::Problem,
            format!("{part} gives {current:.3} at rest, all that it can"),
            "a current-limited amplifier cannot follow a signal and gets hot",
            "look for a DC path from its output into a low resistance, and put a capacitor there",
        ),
        DcFinding::Latched { parts } => (
            Severity::Problem,
            format!(
                "{} {} at a rail when the supply comes on",
                parts.join(", "),
                if parts.len() == 1 { "latches" } else { "latch" }
            ),
            "the balanced state exists on paper only: the inputs of a loop are exchanged",
            "exchange the + and − inputs of the amplifier whose feedback should be negative",
        ),
        DcFinding::SupplyOutOfRange { part, at, allowed } => (
            Severity::Problem,
            format!(
                "{part} gets {at:.3}; its type is made for {:.3} to {:.3}",
                allowed.0, allowed.1
            ),
            "outside its range an op-amp may not start, clips early, or is destroyed",
            "choose another op-amp type or another supply",
        ),
        _ => return None,
    })
}

fn wiring(found: &DcFinding, phones: bool) -> Told {
    match found {
        DcFinding::Floating { nodes } => (
            Severity::Caution,
            format!("no direct current reaches {}", nodes.join(", ")),
            "such a node drifts wherever leakage takes it, and clicks when switched",
            "join it to 0 V or mid-supply with 100 kΩ to 1 MΩ",
        ),
        DcFinding::ReversedPolarity { part, across } => (
            Severity::Problem,
            format!("{part} is polarised and charged the wrong way round by {across:.3}"),
            "a reversed electrolytic leaks, loses its value and can burst",
            "turn it round: the first node named in the file is its positive end",
        ),
        DcFinding::DirectVoltageAtOutput { node, at } => (
            if phones {
                Severity::Problem
            } else {
                Severity::Caution
            },
            format!("{at:.3} of DC stand at the output node {node}"),
            "DC clicks when plugged or switched, and phones draw current from it all the time",
            "put a coupling capacitor before the output and a bleed resistor to 0 V behind it",
        ),
        _ => (
            Severity::Problem,
            "the circuit does not stay at its point of rest: it oscillates or latches".to_owned(),
            "such a circuit sings by itself and filters nothing",
            "check the feedback of every amplifier for a wrong input or a missing part",
        ),
    }
}

fn end(high: bool) -> &'static str {
    if high { "high" } else { "low" }
}
