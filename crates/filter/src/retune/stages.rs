//! Which parts belong to one stage.
//!
//! A planned circuit says so. In one typed in by hand a stage is what hangs together between
//! stiff nodes: the input, the rails, amplifier outputs, and nodes on which there is next to no
//! signal though no amplifier holds them there (a decoupled mid-supply). The region of an
//! amplifier's inputs is its stage; amplifiers in one loop share theirs.

use circuit::system::System;
use circuit::variants::{Batch, Variants};
use circuit::{Circuit, Element, NodeId, Opamp};
use num_complex::Complex64;

/// Signal at a decoupled node, as a share of the largest in the circuit.
const QUIET: f64 = 0.02;

/// The stages by name or number, each with its parts (indices), in the order of the file; parts of no stage
/// (bias, coupling at the ends) stand in none.
#[must_use]
pub fn stages(circuit: &Circuit, system: &System, pitch_hz: f64) -> Vec<(String, Vec<usize>)> {
    let named = named(circuit);
    if named.is_empty() {
        traced(circuit, system, pitch_hz)
    } else {
        named
    }
}

/// The stages that the file names by number.
fn named(circuit: &Circuit) -> Vec<(String, Vec<usize>)> {
    let mut stages: Vec<(String, Vec<usize>)> = Vec::new();
    for (k, part) in circuit.parts.iter().enumerate() {
        let stage = part.stage.as_deref().unwrap_or_default();
        if !stage.starts_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        match stages.iter_mut().find(|(name, _)| name == stage) {
            Some((_, parts)) => parts.push(k),
            None => stages.push((stage.to_owned(), vec![k])),
        }
    }
    stages
}

/// The stages that hang together.
fn traced(circuit: &Circuit, system: &System, pitch_hz: f64) -> Vec<(String, Vec<usize>)> {
    let stiff = stiff(circuit, system, pitch_hz);
    let mut region: Vec<usize> = (0..circuit.nodes.len()).collect();
    let mut join = |a: NodeId, b: NodeId| {
        let (from, to) = (region[a.0], region[b.0]);
        if from != to {
            region
                .iter_mut()
                .filter(|r| **r == from)
                .for_each(|r| *r = to);
        }
    };
    for part in &circuit.parts {
        let free: Vec<NodeId> = match &part.element {
            Element::Opamp(a) => vec![a.plus, a.minus],
            other => other.nodes(),
        };
        let free: Vec<NodeId> = free.into_iter().filter(|n| !stiff[n.0]).collect();
        for pair in free.windows(2) {
            join(pair[0], pair[1]);
        }
    }
    let of_node = |n: NodeId| (!stiff[n.0]).then_some(region[n.0]);
    let stages = merged(circuit, &of_node);
    let numbered = stages.iter().enumerate();
    numbered
        .map(|(k, regions)| ((k + 1).to_string(), gathered(circuit, regions, &of_node)))
        .collect()
}

/// Nodes that nothing but their own source moves.
fn stiff(circuit: &Circuit, system: &System, pitch_hz: f64) -> Vec<bool> {
    let nodes: Vec<NodeId> = (0..circuit.nodes.len()).map(NodeId).collect();
    let levels = Batch::new(system, &nodes, pitch_hz).map(|batch| {
        let readings = batch.sweep(&Variants::nominal(system), &[pitch_hz]);
        readings.values.iter().map(Complex64::norm_sqr).collect()
    });
    let levels: Vec<f64> = levels.unwrap_or_else(|_| vec![1.0; nodes.len()]);
    let most = levels.iter().copied().fold(0.0, f64::max);
    let amplifiers: Vec<&Opamp> = amplifiers(circuit).map(|(_, a)| a).collect();
    let is_stiff = |n: &NodeId| {
        let held = amplifiers.iter().any(|a| a.minus == *n);
        *n == NodeId::GROUND
            || *n == circuit.input
            || amplifiers
                .iter()
                .any(|a| a.out == *n || a.rails.contains(n))
            || (!held && levels[n.0] < QUIET * QUIET * most)
    };
    nodes.iter().map(is_stiff).collect()
}

fn amplifiers(circuit: &Circuit) -> impl Iterator<Item = (usize, &Opamp)> {
    let parts = circuit.parts.iter().enumerate();
    parts.filter_map(|(k, part)| match &part.element {
        Element::Opamp(a) => Some((k, a)),
        _ => None,
    })
}

/// For every stage its regions: those of an amplifier's inputs, and of all amplifiers in one loop.
fn merged(circuit: &Circuit, of_node: &impl Fn(NodeId) -> Option<usize>) -> Vec<Vec<usize>> {
    let all: Vec<&Opamp> = amplifiers(circuit).map(|(_, a)| a).collect();
    let inputs: Vec<Vec<usize>> = all
        .iter()
        .map(|a| [a.plus, a.minus].into_iter().filter_map(of_node).collect())
        .collect();
    let reaches = reaches(circuit, &all, &inputs, of_node);
    let mut stages: Vec<(usize, Vec<usize>)> = Vec::new();
    for (k, regions) in inputs.into_iter().enumerate() {
        let mine = |(first, _): &&mut (usize, Vec<usize>)| reaches[k][*first] && reaches[*first][k];
        match stages.iter_mut().find(mine) {
            Some((_, all)) => all.extend(regions),
            None => stages.push((k, regions)),
        }
    }
    stages.into_iter().map(|(_, regions)| regions).collect()
}

/// Which amplifier drives which, directly or over others: a part leads from its output into the
/// other's region, or its output is the other's input.
fn reaches(
    circuit: &Circuit,
    all: &[&Opamp],
    inputs: &[Vec<usize>],
    of_node: &impl Fn(NodeId) -> Option<usize>,
) -> Vec<Vec<bool>> {
    let drives = |from: usize, to: usize| {
        let out = all[from].out;
        let leads = |nodes: &[NodeId]| {
            let into = |n: &NodeId| of_node(*n).is_some_and(|r| inputs[to].contains(&r));
            nodes.contains(&out) && nodes.iter().any(into)
        };
        let mut others = circuit.parts.iter().map(|p| &p.element);
        [all[to].plus, all[to].minus].contains(&out)
            || others.any(|e| !matches!(e, Element::Opamp(_)) && leads(&e.nodes()))
    };
    let count = all.len();
    let row = |from: usize| {
        (0..count)
            .map(|to| from == to || drives(from, to))
            .collect()
    };
    let mut table: Vec<Vec<bool>> = (0..count).map(row).collect();
    for via in 0..count {
        let onwards = table[via].clone();
        for from in table.iter_mut().filter(|row| row[via]) {
            from.iter_mut().zip(&onwards).for_each(|(a, b)| *a |= b);
        }
    }
    table
}

/// The parts that end in one of these regions.
fn gathered(
    circuit: &Circuit,
    regions: &[usize],
    of_node: &impl Fn(NodeId) -> Option<usize>,
) -> Vec<usize> {
    let ends = |k: &usize| {
        let nodes = circuit.parts[*k].element.nodes();
        nodes
            .into_iter()
            .any(|n| of_node(n).is_some_and(|r| regions.contains(&r)))
    };
    (0..circuit.parts.len()).filter(ends).collect()
}

#[cfg(test)]
mod tests {
    //! Physical invariant: what is soldered together is one stage.
    use super::stages;
    use circuit::system::System;

    fn named(text: &str) -> Vec<Vec<String>> {
        let circuit = circuit::read("a circuit", text).expect("a circuit");
        let system = System::build(&circuit).expect("equations");
        let found = stages(&circuit, &system, 700.0);
        let reference = |k: &usize| circuit.parts[*k].reference.clone();
        found
            .iter()
            .map(|(_, parts)| parts.iter().map(reference).collect())
            .collect()
    }

    #[test]
    fn a_box_typed_in_by_hand_has_its_two_stages() {
        let text = include_str!("../../../../examples/attic/old-box.toml");
        let found = named(text);
        assert_eq!(found.len(), 2, "{found:?}");
        for (stage, parts) in found.iter().zip([["R3", "R4", "R5"], ["R6", "R7", "R8"]]) {
            let resistors: Vec<&String> = stage.iter().filter(|p| p.starts_with('R')).collect();
            assert_eq!(resistors, parts, "{found:?}");
        }
    }

    #[test]
    fn amplifiers_in_one_loop_are_one_stage() {
        let text = include_str!("../../../circuit/tests/circuits/state_variable.toml");
        let lines = text.lines().filter(|l| !l.starts_with("stage"));
        let found = named(&lines.map(|l| format!("{l}\n")).collect::<String>());
        assert!(found.iter().any(|s| s.len() > 9), "{found:?}");
    }
}
