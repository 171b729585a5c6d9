//! Whether the figures of signals describe the circuit at all.
//!
//! They are computed about a balance in which every amplifier works. A circuit that latches, or
//! has an amplifier against its limits on the way of the signal, is not in that balance: its
//! response, poles, ringing, noise and levels are those of another circuit.

use circuit::dc::{DcFinding, OperatingPoint};
use circuit::{Circuit, Element, NodeId};

/// Why they do not, in words; `None` where they do.
pub(super) fn withheld(circuit: &Circuit, rest: &OperatingPoint) -> Option<String> {
    if rest.findings.contains(&DcFinding::Unstable) {
        return Some("the circuit does not stay at its point of rest".to_owned());
    }
    let stopped: Vec<&str> = rest
        .findings
        .iter()
        .filter_map(|f| match f {
            DcFinding::Stuck { part, .. } | DcFinding::CurrentLimited { part, .. } => {
                Some(part.as_str())
            }
            _ => None,
        })
        .filter(|part| reaches_output(circuit, part))
        .collect();
    let rests = match stopped.len() {
        0 => return None,
        1 => "rests",
        _ => "rest",
    };
    Some(format!(
        "{} {rests} against a limit and can pass no signal",
        stopped.join(" and ")
    ))
}

/// Whether what an amplifier does can be seen at the output, through any parts but the rails.
fn reaches_output(circuit: &Circuit, amplifier: &str) -> bool {
    let Some(first) = circuit.parts.iter().find_map(|p| match &p.element {
        Element::Opamp(o) if p.reference == amplifier => Some(o.out),
        _ => None,
    }) else {
        return false;
    };
    let mut rails = vec![NodeId::GROUND];
    for part in &circuit.parts {
        if let Element::Opamp(o) = &part.element {
            rails.extend(o.rails);
        }
    }
    let mut reached = vec![first];
    let mut next = 0;
    while next < reached.len() {
        let node = reached[next];
        next += 1;
        for part in &circuit.parts {
            for other in beyond(&part.element, node) {
                if !rails.contains(&other) && !reached.contains(&other) {
                    reached.push(other);
                }
            }
        }
    }
    reached.contains(&circuit.output)
}

/// The nodes on which a part lets another node act.
fn beyond(element: &Element, node: NodeId) -> Vec<NodeId> {
    match element {
        Element::Opamp(o) if o.plus == node || o.minus == node => vec![o.out],
        Element::Opamp(_) => Vec::new(),
        other => {
            let ends = other.nodes();
            if ends.contains(&node) {
                ends
            } else {
                Vec::new()
            }
        }
    }
}
